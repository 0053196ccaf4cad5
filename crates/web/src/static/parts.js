// Parts of a page that the server tells anew.

/** Puts a part in anew; what is folded out stays so, and the key that has the focus keeps it where it is still there. */
export async function renew(name, address) {
  const part = document.getElementById(name);
  try {
    const answer = await fetch(address, { signal: AbortSignal.timeout(10000) });
    if (!answer.ok) return;
    const text = await answer.text();
    if (part.dataset.text === text) return;
    part.dataset.text = text;
    const open = [...part.querySelectorAll("details")].map((details) => details.open);
    const focused = part.contains(document.activeElement) ? document.activeElement.dataset.takeBack : undefined;
    part.innerHTML = text;
    [...part.querySelectorAll("details")].forEach((details, i) => (details.open = open[i] ?? details.open));
    if (focused) part.querySelector(`[data-take-back="${CSS.escape(focused)}"]`)?.focus();
  } catch {
    // The line at the top says that the server is away.
  }
}
