// The oven's form: drawn anew as it is typed, with what is wrong at its field; rows of layers; kept without losing what
// was typed when the server is away.
import { el } from "./elements.js";

const form = document.getElementById("oven-form");
const section = document.getElementById("section");
const glance = document.getElementById("glance");
const line = document.getElementById("glance-line");
const said = document.getElementById("form-said");
const PARTS = ["dome", "floor", "door"];
const SIZES = { dome: ["diameter_cm"], vault: ["width_cm", "length_cm"] };
// Nobody is scolded for what they have not come to yet; once they tried to keep it, everything is said.
const touched = new Set();
let all = Boolean(form.querySelector("[data-wrong]:not([hidden])"));
let asked = 0;
let timer = 0;
let taken = {};
let shape = "dome";

// ---- what was typed

const chosen = (name) => form.querySelector(`input[name="${name}"]:checked`)?.value ?? "";
const inches = () => chosen("lengths") === "in";
const plain = (text) => text.trim() !== "" && !/\p{L}/u.test(text);
const length = (text) => (inches() && plain(text) ? `${text.trim()} in` : text);

function rowsOf(part) {
  return [...form.querySelectorAll(`[data-part=${part}] .layer`)];
}

function typed() {
  const values = {};
  const layers = {};
  for (const field of form.querySelectorAll("[data-field]:not([hidden])")) {
    const key = field.dataset.field;
    const input = field.querySelector("input:not([type=radio])");
    const text = input ? input.value : chosen(key);
    values[key] = key.endsWith("_cm") ? length(text) : text;
  }
  for (const part of PARTS) {
    const known = chosen(`${part}.known`);
    if (known === "none") layers[part] = [];
    if (known === "layers") {
      layers[part] = rowsOf(part).map((row) => ({
        material: row.querySelector("[data-of=material]").value,
        thickness: length(row.querySelector("[data-of=thickness]").value),
      }));
    }
  }
  return { values, layers };
}

// ---- what is wrong with it

/** Id in the page of a field as the server names it. */
const idOf = (field) => field.replaceAll(" ", "-");

function tell(kind, found) {
  const at = new Map();
  for (const one of found) at.set(one.field, [...(at.get(one.field) ?? []), one]);
  const homeless = new Map(at);
  for (const message of form.querySelectorAll(`[data-${kind}]`)) {
    const field = message.dataset[kind];
    homeless.delete(field);
    const here = at.get(field);
    if (here && kind === "wrong" && !all && !touched.has(field)) continue;
    const words = (here ?? []).map(({ words }) => words).join(" ");
    if (message.textContent !== words) message.textContent = words;
    message.hidden = !here;
    if (kind !== "wrong") continue;
    if (here) message.closest("details")?.setAttribute("open", "");
    const input = document.getElementById(idOf(field));
    if (here) input?.setAttribute("aria-invalid", "true");
    else input?.removeAttribute("aria-invalid");
  }
  return [...homeless.values()].flat();
}

// ---- the drawing

async function sent(address, method, body) {
  const answer = await fetch(address, { method, headers: { "content-type": "application/json" }, body: JSON.stringify(body) });
  return { status: answer.status, body: await answer.json() };
}

async function look() {
  const mine = ++asked;
  const answer = await sent("/api/ovens/preview", "POST", typed()).catch(() => undefined);
  if (answer?.status !== 200 || mine !== asked) return;
  const oven = answer.body;
  tell("wrong", oven.problems);
  tell("doubt", oven.doubts);
  if (oven.problems.length) {
    // Half a number is not told of: the drawing only waits.
    if (form.querySelector("[data-wrong]:not([hidden])")) line.textContent = "See what is marked";
    return;
  }
  if (said.className === "wrong" && !keeping) said.textContent = "";
  taken = oven.layers;
  section.innerHTML = oven.svg;
  glance.replaceChildren(...oven.figures.map(({ what, value }) => el("div", {}, el("dt", {}, what), el("dd", {}, value))));
  line.textContent = oven.line;
  line.hidden = !oven.line;
  for (const field of form.querySelectorAll("[data-field] > input")) {
    if (field.id !== "name") field.placeholder = oven.usual[field.id] ? `${field.id === "time_zone" ? "don't know" : "usual"}: ${usual(field.id, oven.usual[field.id])}` : "don't know";
  }
  if (oven.form !== shape) {
    shape = oven.form;
    shapes();
  }
}

/** The usual value in the unit of the tape measure. */
const usual = (key, value) => (inches() && key.endsWith("_cm") ? (Number(value) / 2.54).toFixed(0) : value);

function soon() {
  clearTimeout(timer);
  timer = setTimeout(look, 300);
}

// ---- fields that belong to a choice

function shapes() {
  // A size of the other shape is neither asked for nor sent; what was typed there stays.
  const is = chosen("form") || shape;
  for (const [of, keys] of Object.entries(SIZES)) {
    for (const key of keys) form.querySelector(`[data-field=${key}]`).hidden = of !== is;
  }
}

function choicesChanged() {
  shapes();
  const damp = chosen("new_or_damp") === "yes";
  form.querySelector("[data-damp]").hidden = !damp;
  for (const unit of form.querySelectorAll("[data-length]")) unit.textContent = inches() ? "in" : "cm";
  for (const part of form.querySelectorAll("[data-part]")) {
    const known = chosen(`${part.dataset.part}.known`);
    part.querySelector("[data-rows]").hidden = known !== "layers";
    part.querySelector("[data-unknown]").hidden = known !== "";
  }
}

/** Numbers that are there keep the unit they were typed in: it is written out. */
function unitsWritten() {
  const [is, was] = inches() ? ["in", "cm"] : ["cm", "in"];
  for (const input of form.querySelectorAll("[data-field$=_cm] input, [data-of=thickness]")) {
    const text = input.value.trim();
    if (plain(text)) input.value = `${text} ${was}`;
    else if (text.endsWith(` ${is}`)) input.value = text.slice(0, -3);
  }
}

form.addEventListener("input", soon);

form.addEventListener("change", ({ target }) => {
  // Left, not just begun: half a number is not wrong yet.
  touched.add(target.closest(".layer") ? target.id.replaceAll("-", " ") : target.id).add(target.name);
  const part = target.name?.endsWith(".known") ? target.name.split(".")[0] : undefined;
  // Layers that were not known begin as those that were taken.
  if (part && target.value === "layers" && rowsOf(part).length === 0) {
    for (const row of taken[part] ?? []) add(part, row);
  }
  if (target.name === "lengths") unitsWritten();
  choicesChanged();
  soon();
});

// ---- rows of layers

function number(part) {
  const rows = rowsOf(part);
  for (const [i, row] of rows.entries()) {
    row.querySelector("[data-nth]").textContent = i + 1;
    for (const of of ["material", "thickness"]) {
      const field = `${part} ${i} ${of}`;
      const input = row.querySelector(`[data-of=${of}]`);
      input.id = idOf(field);
      row.querySelector(`[data-for=${of}]`).htmlFor = input.id;
      for (const kind of ["wrong", "doubt"]) {
        const message = row.querySelector(`[data-${kind}$=${of}]`);
        message.dataset[kind] = field;
        message.id = `${input.id}-${kind}`;
      }
      input.setAttribute("aria-describedby", `${input.id}-wrong ${input.id}-doubt`);
    }
    for (const key of row.querySelectorAll("[data-row-key]")) {
      const verb = key.dataset.rowKey;
      key.value = `${verb} ${part} ${i}`;
      key.disabled = (verb === "up" && i === 0) || (verb === "down" && i === rows.length - 1);
    }
  }
}

function add(part, { material = "", thickness = "" } = {}) {
  const group = form.querySelector(`[data-part=${part}]`);
  const row = group.querySelector("template").content.firstElementChild.cloneNode(true);
  row.querySelector("[data-of=material]").value = material;
  const unit = inches() && thickness ? `${thickness} cm` : thickness;
  row.querySelector("[data-of=thickness]").value = unit;
  group.querySelector(".layers").append(row);
  number(part);
  return row;
}

function press(key) {
  const [verb, part] = key.value.split(" ");
  const row = key.closest(".layer");
  let focus = key;
  if (verb === "add") focus = add(part).querySelector("select");
  if (verb === "up") row.previousElementSibling?.before(row);
  if (verb === "down") row.nextElementSibling?.after(row);
  if (verb === "remove") {
    focus = (row.nextElementSibling ?? row.previousElementSibling)?.querySelector("[data-row-key=remove]") ?? form.querySelector(`[data-part=${part}] [data-add]`);
    row.remove();
  }
  number(part);
  dirty = true;
  // A key that cannot be pressed again would lose the place.
  if (focus.disabled) focus = focus.closest(".layer").querySelector("[data-row-key]:not([disabled])");
  focus.focus();
  choicesChanged();
  soon();
}

// ---- keeping it

let dirty = false;
let keeping = false;

function busy(is) {
  keeping = is;
  form.querySelector("[data-keep]").disabled = is;
}

async function keep() {
  if (keeping) return;
  busy(true);
  said.className = "";
  said.textContent = "Keeping it…";
  const method = "first" in form.dataset ? "POST" : "PUT";
  const oven = typed();
  // Looked at first: what is wrong is an answer here, not an error.
  const seen = await sent("/api/ovens/preview", "POST", oven).catch(() => undefined);
  const answer = seen?.body.problems?.length ? { status: 422, body: seen.body } : await sent(form.dataset.api, method, oven).catch(() => undefined);
  if (answer?.body.to) {
    dirty = false;
    location.assign(answer.body.to);
    return;
  }
  busy(false);
  all = true;
  said.className = "wrong";
  if (!answer) said.textContent = "The server cannot be reached: not kept yet. Nothing you typed is lost; try again.";
  else if (answer.status !== 422) said.textContent = `Not kept yet: ${answer.body.error}.`;
  else {
    const homeless = tell("wrong", answer.body.problems ?? []);
    said.textContent = ["Not kept yet: see what is marked.", ...homeless.map(({ words }) => words)].join(" ");
    const first = form.querySelector("[data-wrong]:not([hidden])");
    const field = first && (document.getElementById(idOf(first.dataset.wrong)) ?? first.closest("fieldset").querySelector("input, select, button"));
    field?.focus();
    field?.scrollIntoView({ block: "center" });
  }
}

form.addEventListener("submit", (event) => {
  event.preventDefault();
  if (event.submitter?.name === "do") press(event.submitter);
  else keep();
});

// The return key of a phone goes on to the next field: nobody keeps half a form by it.
form.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || !event.target.matches("input:not([type=radio])")) return;
  event.preventDefault();
  const fields = [...form.querySelectorAll("input, select, button")].filter((field) => field.tabIndex >= 0 && field.offsetParent);
  fields[fields.indexOf(event.target) + 1]?.focus();
});

form.addEventListener("input", () => { dirty = true; });
window.addEventListener("beforeunload", (event) => { if (dirty) event.preventDefault(); });
// Come back to with the browser's key: it can be kept again.
window.addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  busy(false);
  said.textContent = "";
});

// ---- as it opens

const zone = document.getElementById("time_zone");
if ("first" in form.dataset && zone && !zone.value) zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";
form.querySelector("[data-lengths]").hidden = false;
for (const part of form.querySelectorAll("[data-part]")) number(part.dataset.part);
choicesChanged();
look();
form.querySelector("[aria-invalid=true]")?.focus();
