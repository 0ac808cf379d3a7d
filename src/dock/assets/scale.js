// A scale types like a keyboard: a key every 0 to 0.4 s, then Enter, Tab, both
// line ends or none. Nothing it types is cut, nothing goes over what a field
// holds, and its line ends press nothing. A label's code is typed alike.
import { one } from "/wait.js";

// After so long without a key nothing more of a reading comes.
const PAUSE = 1200;
// Line ends this close belong to the reading before them.
const LINE_ENDS = 1000;
// A blank may be a scale's first one for so long; then it presses.
const BLANK = 450;
// No hand types a key every so often.
const HAND = 60;
const WEIGHT = "input[data-scale]";
const PRESSED = "button, summary, input[type=radio], input[type=checkbox]";
const FIELD = "select, textarea, input:not([type=radio], [type=checkbox], [type=hidden])";
const CODE = /^trayful lot (\S+)$/i;
const WITH_UNIT = /\d\s*(kg|g|lbs?|oz|t)(\s*(g|n|gross|net))?$/i;
// Nothing but a reading: what a note would not hold by itself.
const READING = /^(((st|us|ol|gs|nt|g|n|gross|net|id \w+)[\s,:;]*)*[-+]?\s*\d[\d.,]*\s*(kg|g|lbs?|oz|t)(\s+[\d.,]+\s*oz)?(\s*(g|n|gross|net))?|(st|us)[\s,].*|ol|o\.l|-{3,})$/i;

const form = one("form[data-api]");
// What has no field to go into, or would go over one.
let caught = "";
// What is typed into a field, and whether its end is still to come.
let typed = {};
let [lastKey, ended, waits, blank, still] = [0, -LINE_ENDS];

// Nothing is kept while a reading is under way.
function underWay(is) {
  clearTimeout(still);
  if (form) form.dataset.typing = is ? "yes" : "";
  if (is && !caught) still = setTimeout(underWay, BLANK, false);
}
const tell = (kind, detail) => form?.dispatchEvent(new CustomEvent(kind, { detail }));
function open(lot) {
  const line = document.querySelector(`[data-lot="${CSS.escape(lot)}"]`);
  if (!line) return location.assign(`/trace?of=${encodeURIComponent(lot)}`);
  if (line.type === "radio") line.click();
  line.focus();
}
function handOver(text, field) {
  const [, lot] = text.match(CODE) ?? [];
  if (lot) open(lot);
  else if (text) tell("reading", { text, field });
}
// The focused weight, unless it holds a reading: that one is never typed into.
const focused = () => document.activeElement?.matches(WEIGHT) ? document.activeElement : undefined;
function end() {
  const text = caught.trim();
  [caught, ended] = ["", performance.now()];
  underWay(false);
  handOver(text, focused());
}
// A weight that was typed into is judged as a whole.
function finish(field, stay) {
  const text = field.value.trim();
  typed = {};
  underWay(false);
  if (!text) return;
  if (CODE.test(text)) field.value = "";
  if (!stay || CODE.test(text)) handOver(text, field);
  else field.dispatchEvent(new Event("change", { bubbles: true }));
}
// A reading that went into a note or a list goes on to its weight.
function moved(lineEnd) {
  const { field, before, text, fast } = typed;
  typed = {};
  const whole = text?.trim() ?? "";
  const is = CODE.test(whole) || (READING.test(whole) && (lineEnd || fast)) || (lineEnd && fast && whole.length > 2 && /\d/.test(whole));
  if (!field || field.matches(WEIGHT) || !is || (field.localName !== "select" && field.value !== before + text)) return false;
  field.value = before;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  ended = performance.now();
  handOver(whole);
  return true;
}
function paused() {
  if (caught) end();
  else if (!focused()) moved(false);
  else if (!focused().dataset.held && WITH_UNIT.test(focused().value.trim())) finish(focused(), true);
}
// A reading goes on where it began, wherever the focus went meanwhile.
const begunIn = (at) => typed.field?.matches(WEIGHT) && at - lastKey < BLANK ? typed.field : undefined;
function lineEnd(event) {
  const { key, target, timeStamp } = event;
  const enter = key === "Enter";
  const weight = begunIn(timeStamp) ?? (target.matches?.(WEIGHT) ? target : undefined);
  if (caught) return event.preventDefault(), end();
  if (enter && timeStamp - ended < LINE_ENDS) return ended = timeStamp, event.preventDefault();
  if (weight && !weight.dataset.held && weight.value.trim()) {
    ended = timeStamp;
    if (enter) event.preventDefault();
    // After Tab the focus goes on by itself.
    finish(weight, !enter);
  } else if (moved(enter)) event.preventDefault();
  // A hand that goes on from field to field has no line ends to come.
  else if (!enter) ended = -LINE_ENDS;
  // Only a button keeps an entry.
  if (enter && form?.contains(target) && target.localName === "input") event.preventDefault();
}
function character(event) {
  const { key, target, timeStamp } = event;
  const [begun, gap] = [begunIn(timeStamp), timeStamp - lastKey];
  ended = -LINE_ENDS;
  if (!caught && target.matches?.(FIELD) && !target.dataset.held && (typed.field !== target || gap > PAUSE)) {
    typed = { field: target, before: target.value, text: "", fast: true };
  }
  const weight = begun ?? (target.matches?.(WEIGHT) && !target.dataset.held ? target : undefined);
  if (!caught && weight) {
    // Written here, so that no key goes to where the focus went.
    event.preventDefault();
    weight.setRangeText(key, weight.selectionStart, weight.selectionEnd, "end");
    weight.dispatchEvent(new Event("input", { bubbles: true }));
    return underWay(true);
  }
  if (!caught && typed.field === target) {
    typed.fast &&= typed.text === "" || gap < HAND;
    typed.text += key;
    return;
  }
  if (key === " " && !caught) {
    const pressed = target.matches?.(PRESSED);
    if (pressed || target.matches?.(WEIGHT)) event.preventDefault();
    if (pressed) blank = setTimeout(() => target.click(), BLANK);
    return;
  }
  event.preventDefault();
  caught += key;
  underWay(true);
  tell("typing", { text: caught.trim(), field: focused() });
}
addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
  clearTimeout(blank);
  if (event.key === "Enter" || event.key === "Tab") {
    clearTimeout(waits);
    lineEnd(event);
  } else if (event.key.length === 1) {
    clearTimeout(waits);
    character(event);
    lastKey = event.timeStamp;
    waits = setTimeout(paused, PAUSE);
  }
}, true);
addEventListener("keyup", (event) => {
  if (event.key === " " && event.target.matches?.(PRESSED)) event.preventDefault();
}, true);
