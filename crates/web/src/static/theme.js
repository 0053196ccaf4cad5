// Before anything is drawn: the colours this screen was set to, if it was.
try {
  const theme = localStorage.getItem("ovenfall.theme");
  if (theme === "light" || theme === "dark") document.documentElement.dataset.theme = theme;
} catch {
  // A browser that keeps nothing shows what the system is set to.
}
