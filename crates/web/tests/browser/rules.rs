//! What every page keeps to: axe's rules, contrast, size of targets and text, nothing wider than the screen.

use crate::driver::Screen;
use serde_json::json;

const AXE: &str = include_str!("vendor/axe.min.js");

/// Our own rules: contrast of at least 7 to 1 for every text that is seen, text of at least 16 px (13 in pictures), things to
/// press at least 64 px each way, nothing wider than the screen. Contrast as WCAG 2.2 defines it.
const OWN: &str = r"
const root = document.querySelector(arguments[0]);
const wrong = [];
const parse = (text) => { const m = text.match(/[\d.]+/g); return m ? m.map(Number) : undefined; };
const luminance = ([r, g, b]) => { const c = [r, g, b].map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2]; };
const ratio = (a, b) => { const [x, y] = [luminance(a) + 0.05, luminance(b) + 0.05]; return Math.max(x, y) / Math.min(x, y); };
const ground = (element) => {
  for (let at = element; at; at = at.parentElement) {
    if (at.tagName === 'svg') { const paper = at.querySelector(':scope > rect'); if (paper) return parse(getComputedStyle(paper).fill); }
    const colour = parse(getComputedStyle(at).backgroundColor);
    if (colour && (colour.length < 4 || colour[3] === 1)) return colour;
  }
  return [255, 255, 255];
};
const seen = (element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && element.getClientRects().length > 0;
const name = (element) => `${element.tagName.toLowerCase()}${element.id ? '#' + element.id : ''}.${element.getAttribute('class') ?? ''} “${element.textContent.trim().slice(0, 30)}”`;
const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
for (let node = walker.nextNode(); node; node = walker.nextNode()) {
  const element = node.parentElement;
  if (!node.data.trim() || !element || ['SCRIPT', 'STYLE', 'TITLE', 'NOSCRIPT', 'OPTION'].includes(element.tagName) || element.closest('title, desc, [inert], .skip, button[disabled], .square') || !seen(element)) continue;
  const style = getComputedStyle(element);
  const picture = element.closest('svg');
  const colour = parse(picture ? style.fill : style.color);
  const found = ratio(colour, ground(element));
  if (found < 7) wrong.push(`contrast ${found.toFixed(2)}: ${name(element)}`);
  const size = parseFloat(style.fontSize);
  if (size < (picture ? 12.9 : 16)) wrong.push(`text of ${size} px: ${name(element)}`);
}
const pressed = 'button, .key, nav a, .foot a, summary, .choice, select, input:not([type=radio], [type=checkbox], [type=hidden]), [data-spot]';
for (const element of root.querySelectorAll(pressed)) {
  if (element.closest('[inert]') || !seen(element)) continue;
  const box = element.getBoundingClientRect();
  if (box.height < 63.5 || box.width < 63.5) wrong.push(`target of ${box.width.toFixed(0)} × ${box.height.toFixed(0)}: ${name(element)}`);
}
// Not innerWidth: on a phone that grows with what is too wide.
const { scrollWidth, clientWidth } = document.documentElement;
if (scrollWidth > clientWidth + 1) wrong.push(`wider than the screen: ${scrollWidth} of ${clientWidth}`);
return wrong;
";

async fn against_own(screen: &Screen, part: &str) -> Vec<String> {
    let found = screen.client.execute(OWN, vec![json!(part)]).await.unwrap();
    found.as_array().unwrap().iter().map(ToString::to_string).collect()
}

/// A part of the page as it stands keeps to our own rules.
pub async fn own_kept(screen: &Screen, part: &str, page: &str) {
    let own = against_own(screen, part).await;
    assert!(own.is_empty(), "{page}:\n{}", own.join("\n"));
}

/// The page as it stands keeps to our own rules and to axe's.
pub async fn kept(screen: &Screen, page: &str) {
    let faults = faults(screen).await;
    assert!(faults.is_empty(), "{page}:\n{}", faults.join("\n"));
}

/// What the page as it stands has against our own rules and axe's.
pub async fn faults(screen: &Screen) -> Vec<String> {
    let own = against_own(screen, "body").await;
    if screen.run("return typeof window.axe").await != json!("object") {
        screen.run(AXE).await;
    }
    let run = "const done = arguments[arguments.length - 1]; \
               axe.run(document, { resultTypes: ['violations'] }).then((found) => done(found.violations.map((v) => \
               v.id + ': ' + v.help + ': ' + v.nodes.map((n) => n.target.join(' ') + ' ' + (n.any[0]?.message ?? '')).slice(0, 4).join(' | '))))";
    let axe = screen.client.execute_async(run, Vec::new()).await.unwrap();
    let axe: Vec<String> = axe.as_array().unwrap().iter().map(ToString::to_string).collect();
    [own, axe].concat()
}
