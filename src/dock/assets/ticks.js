// What is ticked on one tablet is ticked on all: by what the dock says of a sheet's
// lines, and what it does not know yet, after a start of the program all of it, is
// told. A field that somebody types into waits until it is left.
import { all, fields, post } from "/wait.js";
import { ticks } from "/reach.js";

export function shared(form, ticked, judged, draft) {
  const { shares } = form.dataset;
  let known;
  const lines = () => all("input", form).filter((input) => /^[tw]:/.test(input.name));
  const marked = (input) => (ticked(input) && !input.checked ? "" : input.value);
  async function share(typed) {
    if (!known || !shares) return;
    const news = lines().filter((input) => input !== typed && marked(input) !== (input.name in known ? known[input.name] : ""));
    if (!news.length) return;
    const told = Object.fromEntries(news.map((input) => [input.name, marked(input)]));
    Object.assign(known, told);
    const { status } = await post(shares, { sheet: fields(form).sheet, lines: told }).catch(() => ({}));
    // Not heard: it is told with the next one.
    if (status !== 200) for (const name of Object.keys(told)) known[name] = null;
  }
  function hear() {
    if (!ticks || !shares || ![null, fields(form).sheet].includes(ticks.sheet)) return;
    known = ticks.lines;
    const typed = lines().find((input) => input === document.activeElement && !ticked(input));
    for (const input of lines().filter((input) => input !== typed && input.name in known && marked(input) !== known[input.name])) {
      if (ticked(input)) input.checked = known[input.name] === "yes";
      else input.value = known[input.name], judged(input);
    }
    draft(typed);
  }
  document.addEventListener("ticked", hear);
  return { share, hear };
}
