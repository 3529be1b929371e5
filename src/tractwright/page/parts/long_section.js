// The long section: every runner unrolled along its stations, with handles for area, wall and length.
// It draws what it is given and says what was dragged; what follows from that is not its business.
const LEFT = 64, RIGHT = 30, TOP = 8, FOOT = 26, RIBBON = 7;
// What stands above and below the strips in the window.
const AROUND = 330;

const polygon = (points) => points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");

export default {
  props: { strips: Array, speed: Number, stale: Boolean, chosen: String, lit: Object, handles: Boolean },
  template: `
    <div class="tw-long" ref="frame">
      <div class="tw-readout" aria-live="polite">{{ readout }}</div>
      <svg :width="width" :height="height" role="group" aria-label="long section of every runner"
           @pointermove="moved" @pointerup="released" @pointerleave="left" :class="{ stale: stale }">
        <g v-for="(row, i) in rows" :key="row.runner" :transform="'translate(0,' + row.top + ')'"
           @pointerdown="$emit('choose', row.runner)">
          <rect :x="0" :y="1" :width="width" :height="rowHeight - 2" class="ground" :class="{ chosen: row.runner === chosen }" />
          <text x="8" :y="rowHeight / 2 - 3" class="name">{{ row.runner }}</text>
          <text x="8" :y="rowHeight / 2 + 12" class="small">{{ row.length_mm.toFixed(1) }} mm</text>
          <polygon :points="row.metal" class="metal" />
          <polygon :points="row.air" class="air" />
          <line :x1="x(0)" :x2="x(row.length_mm)" :y1="row.middle" :y2="row.middle" class="axis" />
          <line v-for="at in row.leads" :x1="x(at)" :x2="x(at)" y1="4" :y2="rowHeight - 4" class="lead" />
          <polyline v-if="row.speedLine" :points="row.speedLine" class="speed" />
          <rect v-for="cell in row.room" :x="cell.x" :y="row.ribbon" :width="cell.w" :height="ribbon" :style="{ fill: cell.fill }" />
          <template v-if="row.reach">
            <rect :x="x(0)" :y="row.ribbon + ribbon + 2" :width="row.reach.port" :height="ribbon" class="reached" />
            <rect :x="x(row.length_mm) - row.reach.mouth" :y="row.ribbon + ribbon + 2" :width="row.reach.mouth" :height="ribbon" class="reached" />
            <rect v-if="row.reach.gap > 0" :x="x(0) + row.reach.port" :y="row.ribbon + ribbon + 2" :width="row.reach.gap" :height="ribbon" class="unreached" />
          </template>
          <line v-if="row.meeting_mm" :x1="x(row.meeting_mm)" :x2="x(row.meeting_mm)" y1="4" :y2="rowHeight - 4" class="meeting" />
          <g v-for="mark in row.marks"><circle :cx="x(mark.station_mm)" :cy="7" r="3" class="screw"><title>{{ mark.name }}, {{ mark.away_mm }} mm from the skin</title></circle></g>
          <line v-if="lit && lit.runner === row.runner && lit.station >= 0" :x1="x(lit.station)" :x2="x(lit.station)" y1="0" :y2="rowHeight" class="lit" />
          <template v-if="handles">
            <g v-for="grip in row.grips" class="grip" tabindex="0" role="slider" :aria-label="grip.label" :aria-valuenow="grip.value"
               @pointerdown.stop="taken($event, row, grip)" @keydown="keyed($event, row, grip)">
              <circle :cx="grip.x" :cy="grip.y" r="9" class="halo" /><circle :cx="grip.x" :cy="grip.y" r="4.5" />
              <title>{{ grip.label }}: {{ grip.value.toFixed(1) }} {{ grip.unit }} (shift: this runner only)</title>
            </g>
          </template>
        </g>
        <g :transform="'translate(0,' + (height - foot + 4) + ')'">
          <g v-for="tick in ticks"><line :x1="x(tick)" :x2="x(tick)" y1="0" y2="4" class="lead" /><text :x="x(tick)" y="16" class="small" text-anchor="middle">{{ tick }}</text></g>
          <text x="8" y="16" class="small">mm</text>
        </g>
      </svg>
      <div class="tw-legend">
        <span class="k metal"></span>metal <span class="k air"></span>passage <span class="k speed"></span>gas speed
        <span class="k room"></span>room outside (copper: tight) <span class="k reached"></span>reached by a cutter
        <span class="k unreached"></span>not reached <span class="k meeting"></span>meeting line <span class="k screw"></span>screw near
      </div>
    </div>`,
  data() { return { width: 800, tall: 860, drag: null, readout: "" }; },
  computed: {
    ribbon: () => RIBBON,
    foot: () => FOOT,
    longest() { return Math.max(60, ...this.strips.map((s) => s.length_mm)) * 1.03; },
    rowHeight() { return Math.max(84, Math.min(180, (this.tall - AROUND) / Math.max(1, this.strips.length))); },
    height() { return TOP + this.rowHeight * this.strips.length + FOOT; },
    ticks() {
      const step = this.longest > 400 ? 100 : this.longest > 150 ? 50 : 20;
      return Array.from({ length: Math.floor(this.longest / step) + 1 }, (_, i) => i * step);
    },
    rows() {
      const half = (this.rowHeight - 2 * RIBBON - 22) / 2;
      const widest = Math.max(...this.strips.map((s) => Math.max(...s.radius_mm.map((r, i) => r + s.wall_mm[i]))));
      const scale = half / widest;
      return this.strips.map((strip, i) => this.row(strip, TOP + i * this.rowHeight, half, scale));
    },
  },
  methods: {
    measure() {
      this.width = Math.max(420, this.$refs.frame.clientWidth);
      this.tall = window.innerHeight;
    },
    x(station) { return LEFT + (this.width - LEFT - RIGHT) * station / this.longest; },
    station(pixel) { return (pixel - LEFT) * this.longest / (this.width - LEFT - RIGHT); },
    row(strip, top, half, scale) {
      const middle = 12 + half;
      const side = (values, sign) => strip.stations_mm.map((s, i) => [this.x(s), middle - sign * values[i] * scale]);
      const outer = strip.radius_mm.map((r, i) => r + strip.wall_mm[i]);
      const both = (values) => polygon([...side(values, 1), ...side(values, -1).reverse()]);
      const last = strip.area_mm2.length - 1, mid = Math.floor(last / 2);
      const speeds = strip.area_mm2.map((a) => strip.area_mm2[last] / a);
      const fastest = Math.max(...speeds) * 1.4;
      const grip = (what, label, unit, value, x, y, perPixel) => ({ what, label: `${strip.runner} ${label}`, unit, value, x, y, perPixel });
      return {
        ...strip, top, middle, metal: both(outer), air: both(strip.radius_mm), ribbon: middle + half + 3,
        leads: [strip.port_lead_mm, strip.length_mm - strip.mouth_lead_mm],
        speedLine: this.speed > 0 ? polygon(strip.stations_mm.map((s, i) => [this.x(s), middle + half - 2 * half * speeds[i] / fastest])) : "",
        room: this.roomCells(strip), reach: this.reach(strip),
        grips: [
          grip("bore", "bore at the mouth", "mm", 2 * strip.radius_mm[last], this.x(strip.length_mm), middle - strip.radius_mm[last] * scale, -2 / scale),
          grip("area", "area half way", "mm²", strip.area_mm2[mid], this.x(strip.stations_mm[mid]), middle - strip.radius_mm[mid] * scale, -2 * Math.PI * strip.radius_mm[mid] / scale),
          grip("wall", "wall", "mm", strip.wall_mm[mid], this.x(strip.stations_mm[Math.floor(last / 3)]), middle + outer[Math.floor(last / 3)] * scale, 1 / scale),
          grip("length", "length", "mm", strip.length_mm, this.x(strip.length_mm) + 12, middle, this.longest / (this.width - LEFT - RIGHT)),
        ],
      };
    },
    roomCells(strip) {
      return strip.stations_mm.slice(0, -1).map((s, i) => {
        const room = strip.room_mm[i], x = this.x(s), w = this.x(strip.stations_mm[i + 1]) - x + 0.5;
        if (room === null) return { x, w, fill: "transparent" };
        const ease = Math.max(0, Math.min(1, (room - strip.clearance_mm) / 30));
        return { x, w, fill: room < strip.clearance_mm - 1e-6 ? "#8e1f12" : `color-mix(in srgb, #2a7f86 ${Math.round(ease * 100)}%, #b4572a)` };
      });
    },
    reach(strip) {
      if (strip.from_port_mm === null || strip.from_mouth_mm === null) return null;
      const whole = this.x(strip.length_mm) - this.x(0), share = (mm) => Math.min(whole, whole * mm / strip.length_mm);
      const port = share(strip.from_port_mm), mouth = share(strip.from_mouth_mm);
      return { port, mouth, gap: whole - port - mouth };
    },
    taken(event, row, grip) {
      event.target.setPointerCapture?.(event.pointerId);
      this.drag = { runner: row.runner, grip, from: [event.clientX, event.clientY], value: grip.value, alone: event.shiftKey, sent: 0, went: false };
    },
    moved(event) {
      if (this.drag) {
        const { grip, from } = this.drag;
        const way = grip.what === "length" ? event.clientX - from[0] : event.clientY - from[1];
        this.drag.value = Math.max(0.5, grip.value + way * grip.perPixel);
        this.readout = `${grip.label}: ${this.drag.value.toFixed(1)} ${grip.unit}`;
        this.drag.went = true;
        if (performance.now() - this.drag.sent > 140) { this.drag.sent = performance.now(); this.say(false); }
        return;
      }
      const box = this.$refs.frame.querySelector("svg").getBoundingClientRect();
      const row = this.rows.find((r) => event.clientY - box.top >= r.top && event.clientY - box.top < r.top + this.rowHeight);
      const at = this.station(event.clientX - box.left);
      this.readout = row && at >= 0 && at <= row.length_mm ? this.told(row, at) : "";
    },
    told(row, at) {
      let i = row.stations_mm.findIndex((s) => s >= at);
      if (i < 0) i = row.stations_mm.length - 1;
      const room = row.room_mm[i] === null ? "" : `, room ${row.room_mm[i].toFixed(1)} mm`;
      const speed = this.speed > 0 ? `, ${(this.speed * row.area_mm2[row.area_mm2.length - 1] / row.area_mm2[i]).toFixed(0)} m/s` : "";
      return `${row.runner} at ${at.toFixed(0)} mm: ${row.area_mm2[i].toFixed(0)} mm², wall ${row.wall_mm[i].toFixed(2)} mm${room}${speed}`;
    },
    released() {
      if (this.drag?.went) this.say(true); // a mere click holds nothing
      this.drag = null;
    },
    left() { this.released(); this.readout = ""; },
    say(done) {
      const { runner, grip, value, alone } = this.drag;
      this.$emit("drag", { runner, what: grip.what, value, alone, done });
    },
    keyed(event, row, grip) {
      const way = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1 }[event.key];
      if (!way) return;
      event.preventDefault();
      const step = { bore: 0.5, area: 20, wall: 0.25, length: 2 }[grip.what];
      this.$emit("drag", { runner: row.runner, what: grip.what, value: grip.value + way * step, alone: event.shiftKey, done: true });
    },
  },
  mounted() {
    this.watcher = new ResizeObserver(() => { this.measure(); });
    this.watcher.observe(this.$refs.frame);
    window.addEventListener("resize", this.measure);
  },
  unmounted() {
    this.watcher.disconnect();
    window.removeEventListener("resize", this.measure);
  },
};
