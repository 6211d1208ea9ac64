/** Runs before the page is laid out: the sheets that wait for their click are then never laid out at all. */
export const earlyScript = 'document.documentElement.className = "js";';

/**
 * The page's own program. Without it the page is whole but for sorting, filtering and the sheets that were packed; it
 * adds no text from the report but what the template engine has escaped already.
 */
export const clientScript = String.raw`"use strict";
(() => {
const $ = (s, root = document) => root.querySelector(s);
const all = (s, root = document) => Array.from(root.querySelectorAll(s));
const keys = JSON.parse($("#keys").textContent);
const table = $("table.clips"), body = table.tBodies[0], head = all("thead th[data-key]", table);
const rows = Array.from(body.rows);
const form = $("form.tools"), status = $(".shown"), home = $("#sheets");
const total = rows.length;
form.hidden = false;

// Sorting: a button in each heading; a missing number comes last whichever way.
let sortKey = "", down = false;
const names = rows.map((row) => row.cells[1].textContent);
const collator = new Intl.Collator("en", { numeric: true });
const compare = (key) => (a, b) => {
  const x = keys[key][a], y = keys[key][b];
  if (key === "name") return (down ? -1 : 1) * collator.compare(names[a], names[b]) || a - b;
  if (x === y) return a - b;
  if (x === null) return 1;
  if (y === null) return -1;
  return (x < y ? -1 : 1) * (down ? -1 : 1);
};
keys.name = [];
const sort = (key, turn) => {
  down = key === sortKey && turn ? !down : false;
  sortKey = key;
  const order = rows.map((_, i) => i);
  if (key !== "") order.sort(compare(key));
  const part = document.createDocumentFragment();
  for (const i of order) { part.append(rows[i]); if (opened.has(i)) part.append(opened.get(i)); }
  body.append(part);
  for (const th of head) {
    const on = th.dataset.key === key;
    if (on) th.setAttribute("aria-sort", down ? "descending" : "ascending"); else th.removeAttribute("aria-sort");
  }
  form.elements.sort.value = key;
};
for (const th of head) {
  const button = document.createElement("button");
  button.type = "button";
  button.append(...th.childNodes);
  button.addEventListener("click", () => sort(th.dataset.key, true));
  th.append(button);
}
form.elements.sort.addEventListener("change", () => sort(form.elements.sort.value, false));

// Filtering. The words of a row are gathered once, when somebody searches.
let words = null;
const wordsOf = () => words ??= rows.map((row, i) => (row.textContent + " " + keys.rules[i]).toLowerCase());
const verdicts = ["reshoot", "unknown", "workable", "clean"];
const filter = () => {
  const ticked = new Set(all("[name=verdict]:checked", form).map((box) => verdicts.indexOf(box.value)));
  const use = form.elements.use.value, rate = form.elements.rate.value;
  const sought = form.elements.find.value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  const text = sought.length > 0 ? wordsOf() : null;
  let shown = 0;
  rows.forEach((row, i) => {
    const on = ticked.has(keys.verdict[i]) && (use === "" || keys.use[i] === use) && (rate === "" || keys.rateLabel[i] === rate)
      && sought.every((word) => text[i].includes(word));
    if (row.hidden === on) row.hidden = !on;
    if (opened.has(i)) opened.get(i).hidden = !on;
    if (on) shown += 1;
  });
  status.textContent = shown === total ? "All " + total + " clips are shown." : shown + " of " + total + " clips are shown.";
};
let asked = 0;
const soon = () => { cancelAnimationFrame(asked); asked = requestAnimationFrame(filter); };
form.addEventListener("input", soon);
form.addEventListener("submit", (event) => event.preventDefault());
form.addEventListener("reset", () => setTimeout(() => { filter(); if (sortKey !== "") sort("", false); }));

// Sheets: those in the page are moved under their row; the others are unpacked first.
const opened = new Map();
const packed = new Map();
const unpack = async (place) => {
  const bytes = Uint8Array.from(atob($("#p" + place).textContent), (c) => c.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  const holder = document.createElement("template");
  holder.innerHTML = await new Response(stream).text();
  for (const sheet of all("article", holder.content)) packed.set(Number(sheet.id.slice(1)), sheet);
};
const sheetOf = async (i) => {
  const here = document.getElementById("c" + i);
  if (here) return here;
  if (!packed.has(i)) await unpack(keys.chunk[i]);
  return packed.get(i);
};
const linkOf = (i) => $("a", rows[i].cells[1]);
const open = async (i) => {
  if (opened.has(i)) return;
  const sheet = await sheetOf(i).catch(() => {
    const note = document.createElement("p");
    note.textContent = "This browser cannot unpack this clip's sheet; report.json holds the same.";
    return note;
  });
  if (opened.has(i)) return;
  const row = document.createElement("tr"), cell = document.createElement("td");
  row.className = "opened";
  row.setAttribute("role", "row");
  cell.setAttribute("role", "cell");
  cell.colSpan = table.tHead.rows[0].cells.length;
  const close = document.createElement("button");
  close.type = "button";
  close.className = "close";
  close.textContent = "Close " + rows[i].cells[1].querySelector("a").textContent;
  close.addEventListener("click", () => { shut(i); linkOf(i).focus(); });
  cell.append(sheet, close);
  row.append(cell);
  for (const button of all("button.play", sheet)) button.hidden = false;
  if (matchMedia("(max-width:760px)").matches) for (const box of all("details.box", sheet)) box.open = false;
  opened.set(i, row);
  rows[i].after(row);
  linkOf(i).setAttribute("aria-expanded", "true");
};
const shut = (i) => {
  const row = opened.get(i);
  const sheet = $("article", row);
  if (sheet) home.append(sheet);
  row.remove();
  opened.delete(i);
  linkOf(i).setAttribute("aria-expanded", "false");
};
for (let i = 0; i < total; i += 1) linkOf(i).setAttribute("aria-expanded", "false");
const show = async (i) => {
  if (rows[i].hidden) { form.reset(); filter(); }
  await open(i);
  const sheet = document.getElementById("c" + i);
  if (sheet) { sheet.scrollIntoView({ block: "start" }); sheet.focus({ preventScroll: true }); }
};
document.addEventListener("click", (event) => {
  const play = event.target.closest("button.play");
  if (play) {
    const on = play.getAttribute("aria-pressed") !== "true";
    play.setAttribute("aria-pressed", String(on));
    play.closest("figure").classList.toggle("moving", on);
    return;
  }
  const link = event.target.closest('a[href^="#c"]');
  const match = link && /^#c(\d+)$/.exec(link.getAttribute("href"));
  if (!match || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  event.preventDefault();
  const i = Number(match[1]);
  if (!body.contains(link) || link.closest(".opened")) show(i);
  else if (opened.has(i)) shut(i);
  else open(i);
});
const aimed = /^#c(\d+)$/.exec(location.hash);
if (aimed && Number(aimed[1]) < total) show(Number(aimed[1]));

// Paper: sheets lie after the table, in the table's order; sheets of clips filtered out stay away.
let before = [];
addEventListener("beforeprint", () => {
  before = Array.from(opened.keys());
  const shown = Array.from(body.rows).filter((row) => row.id !== "").map((row) => Number(row.id.slice(1)));
  const sheets = new Map(all("article.sheet").map((sheet) => [Number(sheet.id.slice(1)), sheet]));
  for (const row of opened.values()) row.hidden = true;
  for (const i of shown) {
    const sheet = sheets.get(i);
    if (!sheet) continue;
    sheet.hidden = rows[i].hidden;
    for (const box of all("details.box", sheet)) box.open = true;
    sheet.classList.toggle("printed", keys.verdict[i] < 3 || opened.has(i));
    home.append(sheet);
  }
});
addEventListener("afterprint", () => {
  for (const i of before) {
    const row = opened.get(i), sheet = document.getElementById("c" + i);
    if (row && sheet) { row.cells[0].prepend(sheet); row.hidden = rows[i].hidden; }
  }
  for (const sheet of all("article.sheet")) sheet.hidden = false;
});
document.documentElement.dataset.ready = "yes";
})();
`;
