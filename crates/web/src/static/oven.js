// The oven's form: drawn anew as it is typed, with what is wrong at its field; rows of layers; the screen's time zone.
const form = document.getElementById("oven-form");
const section = document.getElementById("section");
const holds = document.getElementById("holds");
const touched = new Set();
let asked = 0;
let timer = 0;

/** Id of the message of a field as the server names it. */
const spot = (field) => field.replace(" ", "-");

function tell(problems) {
  const wrong = new Map();
  for (const { field, what } of problems) wrong.set(spot(field), [wrong.get(spot(field)), what].filter(Boolean).join(". "));
  for (const line of form.querySelectorAll("[data-wrong]")) {
    const id = line.dataset.wrong;
    const said = wrong.get(id);
    // Nobody is scolded for what they have not come to yet.
    if (said && !touched.has(id)) continue;
    line.textContent = said ?? "";
    line.hidden = !said;
    const input = document.getElementById(id) ?? document.getElementById(`${id}-thickness`);
    if (said) input?.setAttribute("aria-invalid", "true");
    else input?.removeAttribute("aria-invalid");
  }
}

async function look() {
  const mine = ++asked;
  const answer = await fetch("/api/ovens/preview", { method: "POST", body: new URLSearchParams(new FormData(form)) }).catch(() => undefined);
  if (!answer?.ok || mine !== asked) return;
  const { svg, said, problems } = await answer.json();
  tell(problems);
  if (!svg) return;
  section.innerHTML = svg;
  holds.replaceChildren(...said.map((line) => Object.assign(document.createElement("p"), { textContent: line })));
}

form.addEventListener("input", (event) => {
  const layer = event.target.closest(".layer");
  touched.add(layer ? layer.querySelector("[data-wrong]").dataset.wrong : event.target.id);
  clearTimeout(timer);
  timer = setTimeout(look, 300);
  shapes();
});

// ---- only the sizes of the chosen shape

function shapes() {
  const shape = document.getElementById("form").value;
  const show = (key, on) => {
    const field = form.querySelector(`[data-field=${key}]`);
    if (field) field.hidden = !on;
    // A size of the other shape is not sent.
    if (field && !on) field.querySelector("input").value = "";
  };
  show("diameter_cm", shape !== "vault");
  for (const key of ["width_cm", "length_cm"]) show(key, shape === "vault");
}

// ---- rows of layers

function number(part) {
  for (const [i, row] of [...part.querySelectorAll(".layer")].entries()) {
    const id = `${part.dataset.part}-${i}`;
    for (const of of ["material", "thickness"]) {
      const input = row.querySelector(`[data-of=${of}]`);
      input.name = `${part.dataset.part}.${i}.${of}`;
      input.id = `${id}-${of}`;
      row.querySelectorAll("label")[of === "material" ? 0 : 1].htmlFor = input.id;
    }
    const line = row.querySelector("[data-wrong]");
    line.dataset.wrong = id;
    line.id = `${id}-wrong`;
    row.querySelector("[data-of=thickness]").setAttribute("aria-describedby", line.id);
    row.querySelector("[data-up]").disabled = i === 0;
  }
}

for (const part of form.querySelectorAll("[data-part]")) {
  const rows = part.querySelector(".layers");
  for (const key of part.querySelectorAll("[data-add], [data-up], [data-remove]")) key.hidden = false;
  // Blank rows are for browsers without scripts: here there is a key for more.
  const blank = (row) => [...row.querySelectorAll("select, input")].every((input) => !input.value);
  for (const row of [...rows.children].reverse()) if (blank(row) && rows.childElementCount > 1) row.remove();
  number(part);
  part.addEventListener("click", (event) => {
    const row = event.target.closest(".layer");
    if (event.target.closest("[data-add]")) {
      const added = rows.lastElementChild.cloneNode(true);
      for (const input of added.querySelectorAll("select, input")) input.value = "";
      rows.append(added);
      number(part);
      added.querySelector("select").focus();
    } else if (event.target.closest("[data-up]")) {
      row.previousElementSibling?.before(row);
      number(part);
      event.target.closest("[data-up]").focus();
    } else if (event.target.closest("[data-remove]")) {
      if (rows.childElementCount > 1) row.remove();
      else for (const input of row.querySelectorAll("select, input")) input.value = "";
      number(part);
      part.querySelector("[data-add]").focus();
    } else return;
    clearTimeout(timer);
    timer = setTimeout(look, 300);
  });
}

// ---- the first run: where the clock is, and a first drawing

const zone = document.getElementById("time_zone");
if ("first" in form.dataset && zone && !zone.value) zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";
shapes();
if (!section.firstElementChild) look();
form.querySelector("[aria-invalid=true]")?.focus();
