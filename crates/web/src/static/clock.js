// The clock at the oven: the server's clock, whatever this screen's own says, and the demo's where it is the demo.
const body = document.body.dataset;
const loaded = performance.now();
let from = { day_ms: Number(body.dayNow ?? body.now), at: loaded, speed: body.dayNow ? Number(body.speed) : 1 };

/** Sets the clock anew, as the server tells it. */
export function set(day_ms, speed) {
  from = { day_ms, at: performance.now(), speed };
}

/** The time at the oven, Unix time in ms. */
export function now() {
  return from.day_ms + (performance.now() - from.at) * from.speed;
}

const zone = body.zone || "UTC";
const parts = new Intl.DateTimeFormat("en-GB", {
  timeZone: zone, hourCycle: "h23", year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit", second: "2-digit",
});
const faceOf = new Intl.DateTimeFormat("en-GB", { timeZone: zone, hourCycle: "h23", weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" });

function fields(ms) {
  return Object.fromEntries(parts.formatToParts(new Date(ms)).map((part) => [part.type, part.value]));
}

/** A time as an entry writes it: on the oven's clock, to the second, with its offset from UTC. */
export function written(ms) {
  const whole = Math.floor(ms / 1000) * 1000;
  const f = fields(whole);
  const wall = Date.UTC(+f.year, +f.month - 1, +f.day, +f.hour, +f.minute, +f.second);
  const offset = Math.round((wall - whole) / 60000);
  const two = (n) => String(Math.floor(n)).padStart(2, "0");
  const sign = offset < 0 ? "-" : "+";
  return `${f.year}-${f.month}-${f.day}T${f.hour}:${f.minute}:${f.second}${sign}${two(Math.abs(offset) / 60)}:${two(Math.abs(offset) % 60)}`;
}

/** Hour and minute at the oven. */
export function hhmm(ms) {
  const f = fields(ms);
  return `${f.hour}:${f.minute}`;
}

/** The last time the oven's clock showed this hour, ms; NaN where it is none. */
export function lastTimeItWas(text) {
  const [hour, minute] = text.split(":").map(Number);
  if (!(hour >= 0 && hour < 24 && minute >= 0 && minute < 60)) return NaN;
  const at = now();
  const f = fields(at);
  const back = (Number(f.hour) * 60 + Number(f.minute) - hour * 60 - minute + 1440) % 1440;
  return at - back * 60000;
}

const face = document.getElementById("clock");
if (face) {
  const show = () => {
    const ms = now();
    face.textContent = faceOf.format(new Date(ms)).replaceAll(",", "");
    face.dateTime = written(ms);
  };
  show();
  setInterval(show, 1000);
}
