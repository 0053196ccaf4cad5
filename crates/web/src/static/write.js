// The sheet that entries are written on: what is chosen, the pad, when it was, and off it goes.
import * as clock from "./clock.js";
import * as queue from "./queue.js";
import { pad } from "./pad.js";
import { choices, el } from "./elements.js";

const sheet = document.getElementById("sheet");
const choose = document.getElementById("choose");
const form = document.getElementById("entry");
const title = document.getElementById("sheet-title");
const said = document.getElementById("sheet-said");
const opener = document.getElementById("write");
let known = JSON.parse(document.getElementById("known").textContent);
let oven;
let day;
let round = [];

/** Entries are written for this oven and day. */
export function start(ofOven, ofDay) {
  oven = ofOven;
  day = ofDay;
  fill_who();
}

/** What the day knows by now: dishes, last readings, whether a fire is in. */
export function setKnown(now) {
  known = now;
}

// ---- opening and closing

function show(step, heading) {
  choose.hidden = step !== "choose";
  form.hidden = step !== "entry";
  title.textContent = heading;
  sheet.scrollTop = 0;
  title.focus({ preventScroll: true });
}

function open() {
  sheet.hidden = false;
  said.textContent = "";
  document.querySelector("main").inert = false;
  for (const other of sheet.parentElement.children) if (other !== sheet) other.inert = true;
  for (const other of document.querySelectorAll(".bar, .top, .demo")) other.inert = true;
  show("choose", "Write down");
  history.pushState({ sheet: true }, "");
}

function close() {
  if (sheet.hidden) return;
  sheet.hidden = true;
  round = [];
  for (const other of document.querySelectorAll("[inert]")) other.inert = false;
  opener.focus();
}

function back() {
  round = [];
  if (form.hidden) history.back();
  else show("choose", "Write down");
}

opener.addEventListener("click", open);
document.getElementById("sheet-back").addEventListener("click", back);
addEventListener("popstate", close);
sheet.addEventListener("keydown", (event) => {
  if (event.key === "Escape") back();
  // Digits go to the pad wherever the focus is.
  const of = form.hidden ? undefined : form.draft?.pad;
  if (of && !of.element.hidden) of.key(event);
});

choose.addEventListener("change", (event) => {
  if (event.target.name !== "page") return;
  for (const page of ["read", "done"]) document.getElementById(`page-${page}`).hidden = event.target.value !== page;
});
choose.addEventListener("click", (event) => {
  const kind = event.target.closest("[data-kind]")?.dataset.kind;
  const spot = event.target.closest("[data-spot]")?.dataset.spot;
  if (spot) begin_spot(spot);
  else if (kind) begin(kind);
});
choose.addEventListener("keydown", (event) => {
  const spot = event.target.closest?.("[data-spot]")?.dataset.spot;
  if (spot && (event.key === "Enter" || event.key === " ")) {
    event.preventDefault();
    begin_spot(spot);
  }
});

// ---- what each kind asks for

function begin(kind) {
  const asks = {
    round: begin_round,
    probe: () => ask({ title: "Probe", kind: "probe", temperature: "probe" }),
    core: () => ask({ title: "Core of a dish", kind: "core", dish: inside(), temperature: "core" }),
    liquid: () => ask({ title: "Liquid of a dish", kind: "liquid", dish: inside(), temperature: "liquid" }),
    "hand count": () => ask({ title: "Hand count", kind: "hand count", amount: { unit: "s", units: ["s"], step: 1, hint: "Slow seconds a hand bears it in the chamber." } }),
    outdoor: () => ask({ title: "Outdoors", kind: "outdoor", temperature: "outdoor" }),
    "wood on": () => ask({ title: "Wood on", kind: "wood on", amount: { units: ["kg", "baskets"], unit: known.last_wood?.[1] ?? "kg", from: known.last_wood?.[0], step: 0.5 } }),
    "fire moved": () => ask({ title: "Fire moved", kind: "fire moved", what: ["left", "right", "back", "centre"] }),
    "embers spread": () => ask({ title: "Embers spread", kind: "embers spread" }),
    "raked out": () => ask({ title: "Raked out", kind: "raked out", care: "Ash and embers: into a metal bucket with a lid, outdoors, away from what burns." }),
    swept: () => ask({ title: "Swept", kind: "swept" }),
    swabbed: () => ask({ title: "Swabbed", kind: "swabbed", amount: { unit: "l", units: ["l"], step: 0.1, optional: true, hint: "Water left on the floor, if you know it." }, care: "Stand aside: steam burns." }),
    door: begin_door,
    placed: () => ask({ title: "Put in", kind: "placed", dish: known.dishes.filter((dish) => !dish.inside), another: true }),
    "taken out": () => ask({ title: "Taken out", kind: "taken out", dish: inside(), care: "Stand aside when the door comes off." }),
    turned: () => ask({ title: "Turned", kind: "turned", dish: inside() }),
    "topped up": () => ask({ title: "Topped up", kind: "topped up", dish: inside(), amount: { unit: "l", units: ["l", "kg"], step: 0.1 }, care: "Open lids away from your face: steam burns." }),
  };
  asks[kind]?.();
}

const inside = () => known.dishes.filter((dish) => dish.inside);

function begin_spot(spot) {
  if (spot === "probe") begin("probe");
  else ask({ title: first_upper(spot), kind: "spot", spot, temperature: spot });
}

function begin_round() {
  round = [...known.round];
  next_of_round();
}

function next_of_round() {
  const spot = round.shift();
  if (spot === undefined) {
    show("choose", "Write down");
    return;
  }
  const at = known.round.indexOf(spot) + 1;
  ask({ title: `${first_upper(spot)}, ${at} of ${known.round.length}`, kind: "spot", spot, temperature: spot, inRound: true });
}

function begin_door() {
  const care = known.fire_in ? "Fire or embers in? Never shut them in: they give off carbon monoxide." : undefined;
  ask({ title: "Door", kind: "door", what: ["shut", "ajar", "open"], care, ajar: true });
}

const first_upper = (text) => text[0].toUpperCase() + text.slice(1);

// ---- the form of an entry

function ask(wants) {
  const parts = [];
  const draft = { pad: undefined, wants };
  if (wants.care) parts.push(el("p", { class: "care" }, wants.care));
  if (wants.dish) parts.push(dishes(wants));
  if (wants.what) parts.push(choices("what", "", wants.what.map((name) => [name, first_upper(name)]), undefined));
  if (wants.temperature) {
    draft.pad = pad({ units: ["°C", "°F"], unit: unit_used(), from: last(wants.temperature), steps: [10, 1], over: wants.kind === "spot" || wants.kind === "probe" });
    parts.push(draft.pad.element);
  }
  if (wants.amount) {
    const { units, unit, from, step, hint } = wants.amount;
    draft.pad = pad({ units, unit, from, steps: [step * 5, step], hint });
    parts.push(draft.pad.element);
  }
  if (wants.ajar) {
    draft.pad = pad({ units: ["% free"], unit: "% free", from: undefined, steps: [10, 5], hint: "Ajar: how much of the mouth is free, if you know it." });
    draft.pad.element.hidden = true;
    parts.push(draft.pad.element);
  }
  parts.push(when());
  parts.push(el("p", { class: "wrong", id: "entry-wrong", role: "alert", hidden: true }));
  const go = el("div", { class: "go" }, el("button", { class: "big", type: "submit" }, "Write"));
  if (wants.inRound) go.prepend(el("button", { type: "button", id: "skip" }, "Skip"));
  if (draft.pad?.more) parts.push(draft.pad.more);
  parts.push(note(), go);
  form.replaceChildren(...parts);
  form.draft = draft;
  form.querySelector("#skip")?.addEventListener("click", next_of_round);
  show("entry", wants.title);
}

function dishes(wants) {
  const names = wants.dish.map((dish) => [dish.name, dish.been && !dish.inside ? `${dish.name} (again)` : dish.name]);
  const only = names.length === 1 && !wants.another ? names[0][0] : undefined;
  const field = choices("dish", "Which dish", names, only);
  if (names.length === 0) field.append(el("p", { class: "hint" }, wants.another ? "No dish is on the menu that is not in." : "Nothing is in the oven, as written down."));
  if (wants.another) field.append(el("a", { class: "key", href: `/ovens/${oven}/menu` }, "Another dish…"));
  return field;
}

const AGO = [[0, "just now"], [5, "5 min ago"], [15, "15 min ago"], [30, "30 min ago"], ["at", "other hour"]];

function when() {
  const field = choices("ago", "When", AGO.map(([value, words]) => [String(value), words]), "0", "many");
  const at = el("input", { type: "time", id: "at", "aria-label": "Hour at the oven", hidden: true });
  field.append(at);
  field.addEventListener("change", () => {
    at.hidden = field.querySelector("input[name=ago]:checked")?.value !== "at";
    at.style.gridColumn = "1 / -1";
    if (!at.hidden) at.focus();
  });
  return field;
}

function note() {
  const details = el("details", {}, el("summary", {}, "Add a note"));
  details.append(el("label", { for: "note" }, "Note"), el("input", { id: "note", maxlength: "500", autocomplete: "off" }));
  return details;
}

const last = (place) => known.last_c[place];

function unit_used() {
  try {
    return localStorage.getItem("ovenfall.unit") ?? "°C";
  } catch {
    return "°C";
  }
}

form.addEventListener("change", (event) => {
  const { wants, pad: of } = form.draft;
  if (wants.ajar && event.target.name === "what") of.element.hidden = event.target.value !== "ajar";
});


form.addEventListener("submit", (event) => {
  event.preventDefault();
  const made = make(form.draft);
  if (made.wrong) {
    tell_wrong(made);
    return;
  }
  const { entry, words } = made;
  queue.add({ oven, day, entry, words });
  remember(form.draft, entry);
  said.textContent = `Written: ${words}.`;
  if (form.draft.wants.inRound) next_of_round();
  else show("choose", "Write down");
});

function tell_wrong({ field, wrong }) {
  const line = form.querySelector("#entry-wrong");
  line.textContent = wrong;
  line.hidden = false;
  for (const other of form.querySelectorAll("[aria-invalid]")) other.removeAttribute("aria-invalid");
  const at = field === "value" ? form.draft.pad.element : (form.querySelector(`[name=${field}]`)?.closest("fieldset") ?? form.querySelector(`#${field}`));
  at?.setAttribute("aria-invalid", "true");
  at?.setAttribute("aria-describedby", "entry-wrong");
  at?.after(line);
  (at?.querySelector("input, button") ?? at)?.focus();
}

/** The entry that the form says, or what is wrong at which field. */
function make({ wants, pad: of }) {
  const chosen = (name) => form.querySelector(`input[name=${name}]:checked`)?.value;
  const at = time(chosen("ago"));
  if (Number.isNaN(at)) return { field: "at", wrong: "Give the hour as on the oven's clock, such as 14:30." };
  const entry = { id: queue.newId(), at: clock.written(at), written: clock.written(clock.now()), kind: wants.kind, what: wants.spot ?? "", value: "", unit: "", note: form.querySelector("#note").value.trim(), strikes: "" };
  if (wants.dish) {
    entry.what = chosen("dish") ?? "";
    if (!entry.what) return { field: "dish", wrong: "Which dish?" };
  }
  if (wants.what) {
    entry.what = chosen("what") ?? "";
    if (!entry.what) return { field: "what", wrong: "Choose one." };
  }
  const asked = of && !of.element.hidden;
  if (asked) {
    const { value, unit, wrong } = of.read();
    const optional = wants.amount?.optional || wants.ajar;
    if (wrong && !(optional && of.isEmpty())) return { field: "value", wrong };
    if (!wrong) [entry.value, entry.unit] = [value, unit];
  }
  const figure = entry.value && `${entry.value} ${entry.unit === "C" ? "°C" : entry.unit === "F" ? "°F" : entry.unit}`;
  const name = wants.kind === "spot" ? "" : wants.title.toLowerCase();
  return { entry, words: [name, entry.what, figure].filter(Boolean).join(" ") };
}

function time(ago) {
  if (ago === "at") return clock.lastTimeItWas(form.querySelector("#at").value);
  return clock.now() - Number(ago) * 60000;
}

/** So that the next entry steps from this one before the server has told it back. */
function remember({ wants }, entry) {
  if (wants.temperature && entry.unit === "C" && !entry.value.startsWith(">")) known.last_c[wants.temperature] = Number(entry.value);
  if (wants.temperature) {
    try {
      localStorage.setItem("ovenfall.unit", entry.unit === "F" ? "°F" : "°C");
    } catch {
      // Chosen again next time.
    }
  }
  if (entry.kind === "wood on") [known.last_wood, known.fire_in] = [[Number(entry.value), entry.unit], true];
  if (entry.kind === "raked out") known.fire_in = false;
  const dish = known.dishes.find((dish) => dish.name === entry.what);
  if (dish && entry.kind === "placed") [dish.inside, dish.been] = [true, true];
  if (dish && entry.kind === "taken out") dish.inside = false;
}

// ---- who writes

async function fill_who() {
  const answer = await fetch("/api/me").catch(() => undefined);
  if (answer?.ok) document.getElementById("who-name").value = (await answer.json()).who ?? "";
}

document.getElementById("who").addEventListener("submit", async (event) => {
  event.preventDefault();
  const who = document.getElementById("who-name").value.trim();
  const answer = await fetch("/api/me", { method: "PUT", headers: { "content-type": "application/json" }, body: JSON.stringify({ who }) }).catch(() => undefined);
  said.textContent = answer?.ok ? (who ? `${who} writes on this screen.` : "Nobody's name is kept.") : "The server cannot be reached: the name is not kept.";
});
