"""One file a rule: RULE."""
