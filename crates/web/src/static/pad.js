// A pad of large keys for one number, with steps from the number before.
import { choices, el } from "./elements.js";

const SIGNS = { "°C": "C", "°F": "F", "% free": "%" };

/** A pad: `units` to choose from, `unit` to begin with, `from` the number to step from, `steps` large and small. */
export function pad({ units, unit, from, steps, hint, over = false }) {
  let typed = "";
  let over_range = false;
  let chosen = units.includes(unit) ? unit : units[0];
  const shown = el("output", { "aria-live": "polite", "aria-label": "number" });
  const sign = el("span", { class: "unit" }, chosen);
  const display = el("div", { class: "display" }, shown, sign);
  const element = el("fieldset", { class: "number" });
  if (hint) element.append(el("p", { class: "hint" }, hint));
  element.append(display);

  const base = () => (typed === "" ? from : Number(typed));
  const tidy = (value) => String(Math.round(value * 1000) / 1000);

  function show() {
    const number = typed === "" ? (from === undefined ? "" : tidy(from)) : typed;
    shown.textContent = (over_range ? "> " : "") + number;
    shown.classList.toggle("from-before", typed === "");
  }

  function press(key) {
    if (key === "back") typed = typed.slice(0, -1);
    else if (key === "clear") typed = "";
    else if (key === "over") over_range = !over_range;
    else if (key === "sign") typed = typed.startsWith("-") ? typed.slice(1) : `-${typed}`;
    else if (key === "." && (typed.includes(".") || typed === "")) typed = typed === "" ? "0." : typed;
    else if (typed.length < 7) typed += key;
    show();
  }

  function step(by) {
    typed = tidy(Math.max((base() ?? 0) + by, chosen === "°C" || chosen === "°F" ? -60 : 0));
    show();
  }

  const [large, small] = steps;
  const stepper = (by) => {
    const words = `${by > 0 ? "+" : "−"}${tidy(Math.abs(by))}`;
    const key = el("button", { type: "button", "aria-label": `${by > 0 ? "more by" : "less by"} ${tidy(Math.abs(by))}` }, words);
    key.addEventListener("click", () => step(by));
    return key;
  };
  element.append(el("div", { class: "steps" }, ...[-large, -small, small, large].map(stepper)));

  const keys = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "back"];
  const names = { back: "⌫", ".": "." };
  const spoken = { back: "delete the last digit", ".": "point" };
  const grid = el("div", { class: "pad" });
  for (const key of keys) {
    const button = el("button", { type: "button", "aria-label": spoken[key] ?? key }, names[key] ?? key);
    button.addEventListener("click", () => press(key));
    grid.append(button);
  }
  element.append(grid);

  const more = el("div", { class: "row" });
  if (over) {
    const button = el("button", { type: "button", "aria-pressed": "false" }, "over range");
    button.addEventListener("click", () => {
      press("over");
      button.setAttribute("aria-pressed", String(over_range));
    });
    more.append(button);
  }
  if (units.length > 1) {
    const field = choices("unit", "", units.map((name) => [name, name]), chosen);
    field.addEventListener("change", (event) => {
      chosen = event.target.value;
      sign.textContent = chosen;
      // A number to step from is in the first unit: in another one it would mislead.
      from = undefined;
      show();
    });
    more.append(field);
  }
  show();

  return {
    element,
    /** What is seldom pressed: over range, the unit. */
    more: more.childElementCount > 0 ? more : undefined,
    isEmpty: () => typed === "",
    /** The number as an entry writes it, or what is wrong. */
    read() {
      const value = typed === "" ? "" : typed.replace(/\.$/, "");
      if (value === "" || value === "-" || !Number.isFinite(Number(value))) return { wrong: from === undefined ? "Give a number." : "Give a number, or step from the one before." };
      return { value: (over_range ? ">" : "") + value, unit: SIGNS[chosen] ?? chosen };
    },
    /** A key of a keyboard. */
    key(event) {
      if (event.ctrlKey || event.metaKey || event.altKey || event.target.matches("input:not([type=radio], [type=checkbox])")) return;
      if (/^[0-9]$/.test(event.key)) press(event.key);
      else if (event.key === "." || event.key === ",") press(".");
      else if (event.key === "Backspace") press("back");
      else if (event.key === "-") press("sign");
      else return;
      event.preventDefault();
    },
  };
}
