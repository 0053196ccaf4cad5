// The menu, kept current while it is looked at.
import * as live from "./live.js";
import { renew } from "./parts.js";

const { day } = document.body.dataset;
if (day) {
  live.watch(day, (what) => (what === "menu" || what === "entries" ? renew("menu", `/parts/days/${day}/menu`) : undefined), "menu=true");
}
