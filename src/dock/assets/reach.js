// Whether the book can be reached, and what it tells by itself as it grows.
import { all, away, one } from "/wait.js";

addEventListener("click", (event) => {
  if (event.target.closest("[data-do=print]")) print();
});
// --- Where it can't be there is only the browser's own error page to go to, and
// what was half entered would stay behind: so we stay.
export const offline = () => { away.hidden = false; away.scrollIntoView({ block: "center" }); };
const reached = () => fetch("/api/session", { signal: AbortSignal.timeout(3000) }).then(() => true, () => false);
const go = async (event, on) => {
  event.preventDefault();
  // The next page may take a second on a slow tablet: the touch is answered at once.
  const touched = event.submitter ?? event.target.closest("a");
  touched?.setAttribute("aria-busy", "true");
  setTimeout(() => touched?.removeAttribute("aria-busy"), 3000);
  if (await reached()) on();
  else offline();
};
addEventListener("click", (event) => {
  const link = event.target.closest("a[href]");
  const plain = !event.defaultPrevented && !event.ctrlKey && !event.metaKey && !event.shiftKey;
  if (plain && link?.origin === location.origin && !link.getAttribute("href").startsWith("#")) go(event, () => { location.href = link.href; });
});
addEventListener("submit", (event) => {
  if (!event.defaultPrevented) go(event, () => event.target.submit());
});
// --- Another tablet's entries: the book's last record is told as it grows.
let grown;
const events = new EventSource("/events");
// What scales showed last: a script that comes later hears it too.
export let weights = [];
events.addEventListener("weights", ({ data }) => {
  weights = JSON.parse(data);
  document.dispatchEvent(new CustomEvent("weights"));
});
// What is ticked of tonight's sheet.
export let ticks;
events.addEventListener("ticked", ({ data }) => {
  ticks = JSON.parse(data);
  document.dispatchEvent(new CustomEvent("ticked"));
});
events.addEventListener("grew", ({ data }) => {
  if (grown !== undefined && data !== grown) document.dispatchEvent(new CustomEvent("grew"));
  grown = data;
});
document.addEventListener("grew", () => {
  for (const notice of all("[data-grew]")) notice.hidden = false;
  anew();
});
// What somebody is typing into stays.
const anew = () => refresh("[data-live]:not(:focus-within)");
document.addEventListener("late", anew);
// Parts of the page as the book has them now.
export async function refresh(which) {
  if (!one(which)) return;
  const answer = await fetch(location.href).catch(() => ({}));
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const part of all(which)) {
    const anew = one(`[data-fresh="${part.dataset.fresh}"]`, page);
    if (anew) part.replaceWith(document.adoptNode(anew));
  }
}
// Only where a browser allows it; elsewhere an open page must stay open.
navigator.serviceWorker?.register("/worker.js").catch(() => {});
if (navigator.serviceWorker?.controller) reached().then((is) => is || offline());
