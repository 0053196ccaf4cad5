// This screen's name and colours.
const said = document.getElementById("name-said");
document.getElementById("name").addEventListener("submit", async (event) => {
  event.preventDefault();
  const who = document.getElementById("name-who").value;
  const answer = await fetch("/api/me", { method: "PUT", headers: { "content-type": "application/json" }, body: JSON.stringify({ who }) }).catch(() => undefined);
  said.textContent = answer?.ok ? "Kept." : "The server cannot be reached: the name is not kept.";
});

const theme = document.getElementById("theme");
try {
  const kept = localStorage.getItem("ovenfall.theme") ?? "system";
  theme.querySelector(`[value=${CSS.escape(kept)}]`).checked = true;
} catch {
  // Nothing is kept by this browser: as the system.
}
theme.addEventListener("change", (event) => {
  const chosen = event.target.value;
  if (chosen === "system") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = chosen;
  try {
    localStorage.setItem("ovenfall.theme", chosen);
  } catch {
    // Until the page is closed.
  }
});
