// A new dish is called by its kind until somebody calls it otherwise; the return key goes to the next field.
const form = document.querySelector("form.fields");
const kind = document.getElementById("kind");
const name = document.getElementById("name");
let named = Boolean(name?.value);
name?.addEventListener("input", () => (named = name.value !== ""));
kind?.addEventListener("change", () => {
  if (name && !named) name.value = kind.value;
});
form.querySelector("[aria-invalid=true]")?.focus();
form.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || !event.target.matches("input")) return;
  event.preventDefault();
  const fields = [...form.querySelectorAll("input, select, button")].filter((field) => field.offsetParent);
  fields[fields.indexOf(event.target) + 1]?.focus();
});
