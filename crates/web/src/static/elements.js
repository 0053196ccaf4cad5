// Making elements, and the fields that every form has.

/** An element with attributes and what is in it. */
export function el(name, attributes = {}, ...inside) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === true) element.setAttribute(key, "");
    else if (value !== undefined && value !== false) element.setAttribute(key, value);
  }
  element.append(...inside);
  return element;
}

/** One of several, as keys: `options` are pairs of value and words. */
export function choices(name, legend, options, chosen, look = "") {
  const field = el("fieldset", { class: `choices ${look}` });
  if (legend) field.append(el("legend", {}, legend));
  for (const [value, words] of options) {
    const input = el("input", { type: "radio", name, value, checked: value === chosen });
    field.append(el("label", { class: "choice" }, input, el("span", {}, words)));
  }
  return field;
}
