"""The tone of each verdict: variables of page.css, each with a contrast of at least 4.5 on paper."""

from tractwright.check.finding import Verdict

TONE: dict[Verdict, str] = {
    "stop": "var(--stop)",
    "look": "var(--look)",
    "ok": "var(--teal)",
    "unknown": "var(--unknown)",
}
