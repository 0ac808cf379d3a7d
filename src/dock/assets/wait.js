// What waits on this tablet until the book has it, on every page: an entry is
// here before it is sent, and its verdict is here until somebody has seen it.
export const one = (what, where = document) => where.querySelector(what);
export const all = (what, where = document) => [...where.querySelectorAll(what)];
export const make = (tag, props, ...inside) => {
  const made = Object.assign(document.createElement(tag), props);
  return made.append(...inside), made;
};
export const press = (textContent, onclick) => make("button", { type: "button", textContent, onclick });
export const fields = (form, by) => {
  const given = Object.fromEntries(new FormData(form, by));
  delete given.token;
  return given;
};
// A choice, or what was typed instead of it.
export const named = (given, name) => (given[name] !== "other" && given[name]?.trim()) || given[`${name}_other`]?.trim() || "";
// Not crypto.randomUUID: a page without TLS does not have it.
export const newId = () => "auto-" + [...crypto.getRandomValues(new Uint8Array(10))]
  .map((byte) => byte.toString(16).padStart(2, "0")).join("");
// Undo is one touch for so long.
export const UNDO = 120000;
const DAY = 86400000;
const WEIGH = "/api/weigh";
const waiting = one("#waiting");
export const away = one("#away");
export const words = waiting.dataset;

let token = one("meta[name=token]")?.content ?? "";
export async function post(path, body, again = true) {
  const answer = await fetch(path, {
    method: "POST", body: JSON.stringify(body), signal: AbortSignal.timeout(12000),
    headers: { "content-type": "application/json", "x-trayful-token": token },
  });
  // After a restart of the program the old token is void: fetch the new one once.
  if (answer.status === 403 && again) {
    const session = await fetch("/api/session");
    if (session.ok) token = (await session.json()).token;
    for (const field of all("input[name=token]")) field.value = token;
    return post(path, body, false);
  }
  return { status: answer.status, value: await answer.json().catch(() => ({})) };
}
export async function strike(record) {
  const told = await post("/api/strike", { id: newId(), record }).catch(() => ({ value: { message: words.away } }));
  // Too late for one touch: a page asks why.
  if (told.value.error === "late") location.assign(`/undo?record=${record}&back=${location.pathname}`);
  return told;
}

// --- One key an entry, so that two pages can't overwrite each other.
const [WAIT, LATE] = ["trayful.wait.", "trayful.late."];
const areWords = (...all) => all.every((it) => typeof it === "string");
const isEntry = (it) => areWords(it?.id, it?.entered_at, ...Object.values(it?.fields ?? [null]));
const isVerdict = (it) => typeof it?.id === "string" && Boolean(it.shown);
// What of a spoilt entry stands whole: its pairs of a name and a text.
const PAIR = /"(\w+)":("(?:[^"\\\p{Cc}]|\\["\\/bfnrt]|\\u[\da-f]{4})*")/giu;
const pairs = (text) => Object.fromEntries([...text.matchAll(PAIR)].map(([, name, value]) => [name, JSON.parse(value)]));
// An entry that can't be read must not hold the others up.
function stored(prefix, fine) {
  return Object.keys(localStorage).filter((key) => key.startsWith(prefix)).map((key) => {
    const text = localStorage.getItem(key);
    let read;
    try { read = JSON.parse(text); } catch { /* what is left of it is shown */ }
    return fine(read) ? { ...read, key } : { ...pairs(text ?? ""), fields: pairs(text ?? ""), key, broken: true };
  }).sort((a, b) => (a.entered_at ?? "").localeCompare(b.entered_at ?? ""));
}
export const store = ({ key, ...entry }) => localStorage.setItem(WAIT + entry.id, JSON.stringify(entry));
export const drop = ({ id, key = WAIT + id }) => localStorage.removeItem(key);
const sending = new Set();
// Sends one entry: "kept", "problem" (a person is needed) or "later".
export async function deliver(entry) {
  if (sending.has(entry.id)) return { what: "later" };
  sending.add(entry.id);
  const body = { ...entry.fields, id: entry.id, entered_at: entry.entered_at, sent_at: new Date().toISOString() };
  const { status, value } = await post(entry.api ?? WEIGH, body).catch(() => ({}));
  sending.delete(entry.id);
  if (status) away.hidden = true;
  if (status === 200) return drop(entry), { what: "kept", value };
  if (![403, 404, 409, 413, 422, 500].includes(status)) return { what: "later", pin: status === 401 };
  const problem = { kind: value.error, details: value.details ?? [], message: value.message ?? `${status}` };
  if (localStorage.getItem(WAIT + entry.id)) store({ ...entry, problem });
  return { what: "problem", problem };
}
// Kept after the page had gone on: what became of it stays until it was seen.
export function late(entry, shown) {
  const { id, entered_at, says } = entry;
  if (shown) localStorage.setItem(LATE + id, JSON.stringify({ id, entered_at, says, shown, kept_at: Date.now() }));
  document.dispatchEvent(new CustomEvent("late", { detail: id }));
}
// Without a person's help.
const goes = ({ problem, broken }) => !problem && !broken;
async function deliverAll() {
  if (sending.size) return;
  let told = {};
  for (const entry of stored(WAIT, isEntry).filter(goes)) {
    told = await deliver(entry);
    if (told.what === "later") break;
    if (told.what === "kept") late(entry, told.value.shown);
  }
  list(told.pin);
}

// --- What is shown of it.
function block(what, entries, item) {
  const [part, items] = [one(what), entries.map(item)];
  part.hidden = items.length === 0;
  one("h2 span", part).textContent = items.length;
  one("ul", part).replaceChildren(...items);
}
export function list(needsPin) {
  const [left, kept] = [stored(WAIT, isEntry), stored(LATE, isVerdict)];
  waiting.hidden = left.length + kept.length === 0;
  const before = all("#left li").length;
  block("#left", left.filter(goes), waits);
  // The last one is the one in hand.
  const items = one("#left ul");
  if (items.children.length > before) items.scrollTop = items.scrollHeight;
  block("#look", left.filter((entry) => !goes(entry)), waits);
  // First what is no plain feed: the list may have the rest below its edge.
  const plain = ({ shown }) => (shown?.class ?? "feed") === "feed";
  block("#arrived", kept.sort((one, next) => plain(one) - plain(next)), arrived);
  if (needsPin) items.prepend(make("li", {}, make("a", { href: "/pin", className: "button", textContent: words.pin })));
  one("#seen").onclick = () => {
    for (const { key } of kept) localStorage.removeItem(key);
    list();
  };
}
// The tablet's clock may be another than the farm's; how long it waits is the same on both.
const since = (text) => {
  const at = Date.parse(text);
  if (Number.isNaN(at)) return "";
  const minutes = Math.max(0, Math.round((Date.now() - at) / 60000));
  const [count, unit] = minutes < 60 ? [minutes, "minute"] : minutes < 1440 ? [minutes / 60, "hour"] : [minutes / 1440, "day"];
  return new Intl.RelativeTimeFormat(document.documentElement.lang).format(-Math.round(count), unit);
};
// As the tile that was touched calls it, where there is one.
const called = (name, value) => one(`[name="${name}"][value="${CSS.escape(value)}"] + span`)?.innerText.replace(/\s+/g, " ").trim()
  ?? (name === "stream" ? value.replaceAll("-", " ") : value);
// What was entered, in people's words; its weight as the answer will tell it, where
// the book has read it already.
export const said = (names, given, net) => names.split(" ").map((name) => {
  const value = named(given, name);
  if (name !== "gross" || !value) return called(name, value);
  const unit = /\p{L}/u.test(value) ? "" : one("[data-net]")?.dataset.net;
  const held = ["container", "tare"].some((name) => !["", "=0"].includes(named(given, name)));
  return net || [value, unit, held && words.held].filter(Boolean).join(" ");
}).filter(Boolean).join(" · ");
// Once gone it is nowhere: the second press does it, though the list was made anew since.
const asked = new Set();
const off = (key, says = "") => {
  const really = [words.really, says].filter(Boolean).join(" ");
  const button = press(asked.has(key) ? really : words.drop, () => {
    if (asked.delete(key)) return localStorage.removeItem(key), list();
    asked.add(key);
    button.textContent = really;
  });
  button.className = "drop";
  return button;
};
function waits(entry) {
  const { fields: f, problem, key, broken, says, entered_at: at, api = WEIGH } = entry;
  const text = make("div", {});
  const item = make("li", {}, text);
  const tell = (textContent, className) => text.append(make("p", { textContent, className }));
  if (goes(entry) && api === WEIGH) tell(words.hold, "hold");
  const known = [says || said(entry.tells ?? "gross stream supplier", f), since(at)].filter(Boolean).join(" · ");
  if (broken) return tell(known ? `${words.broken} ${known}` : words.nothing, "out"), item.append(off(key, known)), item;
  tell(known, "");
  if (problem) {
    // By then nobody on the floor knows what it was.
    const old = !(Date.now() - Date.parse(at) < DAY);
    tell([problem.message, ...problem.details].join(" "), "out");
    if (old) tell(words.old, "out");
    if (!old && ["doubtful", "back"].includes(problem.kind)) {
      item.append(press(words.yes, () => {
        if (problem.kind === "doubtful") f.sure = "yes";
        delete entry.problem;
        store(entry);
        list();
        deliverAll();
      }));
    }
  }
  // Another page's entry goes back into that page's form.
  const here = document.dispatchEvent(new CustomEvent("has", { detail: entry, cancelable: true }));
  item.append(here ? make("a", { href: entry.page ?? "/weigh", className: "button", textContent: words.again })
    : press(words.again, () => {
      // Held back until the form keeps it or somebody says so.
      store({ ...entry, problem: problem ?? { kind: "back", details: [], message: words.back } });
      document.dispatchEvent(new CustomEvent("back", { detail: entry }));
      list();
    }), off(key, known));
  return item;
}
const answer = ({ title, number, net, verdict, put }) => [
  title ?? (number ? `${words.ticket} ${number}` : words.nothing), net, [verdict, put].filter(Boolean).join(" → "),
].filter(Boolean).join(" · ");
// A spoilt one tells what stands whole of it.
function arrived({ key, fields: left, shown = left, kept_at: keptAt, says }) {
  const text = make("div", {}, make("p", { className: "verdict" }, make("span", { className: "mark", ariaHidden: "true" }), ` ${answer(shown)}`),
    make("p", { textContent: [says ?? shown.from, shown.reason, ...(shown.lines ?? [])].filter(Boolean).join(" · ") }),
    ...[...(shown.cautions ?? []), shown.clock].filter(Boolean).map((textContent) => make("p", { className: "caution", textContent })));
  const row = make("li", { className: `card ${shown.class ?? ""}` }, text);
  if (shown.parts) row.append(make("a", { href: `/discard?lot=${encodeURIComponent(shown.parts)}`, className: "button", textContent: words.parts }));
  if (shown.record && Date.now() - keptAt < UNDO) {
    row.append(press(words.undo, async () => {
      const { status, value } = await strike(shown.record);
      if (status !== 200) return text.append(make("p", { className: "out", textContent: [value.message, ...(value.details ?? [])].join(" ") }));
      localStorage.removeItem(key);
      list();
      document.dispatchEvent(new CustomEvent("late"));
    }));
  }
  return row;
}

addEventListener("storage", () => list());
setInterval(deliverAll, 4000);
// The page's own form is there by then.
setTimeout(deliverAll);
