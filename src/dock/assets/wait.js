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
const isEntry = (it) => typeof it?.id === "string" && typeof it.entered_at === "string" && typeof it.fields === "object";
const isVerdict = (it) => typeof it?.id === "string" && typeof it.shown === "object";
// An entry that can't be read must not hold the others up: it is shown as it is.
function stored(prefix, fine) {
  return Object.keys(localStorage).filter((key) => key.startsWith(prefix)).map((key) => {
    const text = localStorage.getItem(key);
    let read;
    try { read = JSON.parse(text); } catch { /* shown below */ }
    return fine(read) ? { ...read, key } : { key, broken: text ?? "", entered_at: "" };
  });
}
const entries = () => stored(WAIT, isEntry).sort((a, b) => a.entered_at.localeCompare(b.entered_at));
export const store = ({ key, ...entry }) => localStorage.setItem(WAIT + entry.id, JSON.stringify(entry));
export const drop = ({ id, key = WAIT + id }) => localStorage.removeItem(key);
const sending = new Set();
// Sends one entry: "kept", "problem" (a person is needed) or "later".
export async function deliver(entry) {
  if (sending.has(entry.id)) return { what: "later" };
  sending.add(entry.id);
  const body = { ...entry.fields, id: entry.id, entered_at: entry.entered_at, sent_at: new Date().toISOString() };
  const { status, value } = await post(entry.api ?? "/api/weigh", body).catch(() => ({}));
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
  if (shown) localStorage.setItem(LATE + entry.id, JSON.stringify({ id: entry.id, shown, kept_at: Date.now() }));
  document.dispatchEvent(new CustomEvent("late", { detail: entry.id }));
}
async function deliverAll() {
  if (sending.size) return;
  let told = {};
  for (const entry of entries().filter((entry) => !entry.problem && !("broken" in entry))) {
    told = await deliver(entry);
    if (told.what === "later") break;
    if (told.what === "kept") late(entry, told.value.shown);
  }
  list(told.pin);
}

// --- What is shown of it.
export function list(needsPin) {
  const [left, kept] = [entries(), stored(LATE, isVerdict)];
  waiting.hidden = left.length + kept.length === 0;
  one("h2", waiting).hidden = left.length === 0;
  one("#count").textContent = left.length;
  const items = left.map(waits);
  if (needsPin) items.unshift(make("li", {}, make("a", { href: "/pin", className: "button", textContent: words.pin })));
  one("#left").replaceChildren(...items);
  one("#arrived").replaceChildren(...kept.map(arrived));
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
const called = (name, value) => one(`[name="${name}"][value="${CSS.escape(value)}"] + span`)?.innerText.replace(/\s+/g, " ").trim() ?? value;
// Once gone it is nowhere: the second press does it, though the list was made anew since.
const asked = new Set();
const off = (key) => press(asked.has(key) ? words.really : words.drop, ({ currentTarget: button }) => {
  if (asked.delete(key)) return localStorage.removeItem(key), list();
  asked.add(key);
  button.textContent = words.really;
});
function waits(entry) {
  const { fields: f, problem, key } = entry;
  const item = make("li", {});
  if ("broken" in entry) {
    item.append(make("p", { className: "out", textContent: `${words.broken} ${entry.broken.slice(0, 200).replace(/[^\p{L}\p{N}.,-]+/gu, " ")}` }), off(key));
    return item;
  }
  const what = (entry.tells ?? "gross stream supplier").split(" ").map((name) => called(name, named(f, name))).filter(Boolean);
  item.append(make("p", { textContent: [...what, since(entry.entered_at)].filter(Boolean).join(" · ") }));
  if (problem) {
    item.append(make("p", { className: "out", textContent: [problem.message, ...problem.details].join(" ") }));
    if (["doubtful", "back"].includes(problem.kind)) {
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
    }), off(key));
  return item;
}
function arrived({ key, shown = {}, kept_at: keptAt }) {
  const title = shown.title ?? [`${words.ticket} ${shown.number}`, shown.net].join(" · ");
  const verdict = [shown.verdict, shown.put].filter(Boolean).join(" → ");
  const lines = [verdict, shown.reason, shown.from, ...(shown.lines ?? []), ...(shown.cautions ?? []), shown.clock];
  const card = make("li", { className: `card ${shown.class ?? ""}` }, make("p", { className: "net", textContent: `${words.sent} ${title}` }),
    ...lines.filter(Boolean).map((textContent, at) => make("p", { className: at ? "" : "verdict", textContent })));
  const seen = () => { localStorage.removeItem(key); list(); };
  if (shown.parts) card.append(make("a", { href: `/discard?lot=${encodeURIComponent(shown.parts)}`, className: "button", textContent: words.parts }));
  card.append(press(words.seen, seen));
  if (shown.record && Date.now() - keptAt < UNDO) {
    card.append(press(words.undo, async () => {
      const { status, value } = await strike(shown.record);
      if (status !== 200) return card.append(make("p", { className: "out", textContent: [value.message, ...(value.details ?? [])].join(" ") }));
      seen();
      document.dispatchEvent(new CustomEvent("late"));
    }));
  }
  return card;
}

addEventListener("storage", () => list());
setInterval(deliverAll, 4000);
// The page's own form is there by then.
setTimeout(deliverAll);
