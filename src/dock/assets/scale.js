// A scale types like a keyboard: fast, and ends with Enter. What it types is
// handed to the form as a reading, wherever the focus is.
"use strict";
(() => {
  const form = document.querySelector("form[data-api]");
  if (!form) return;
  const PRESSED = "button, summary, input[type=radio], input[type=checkbox]";
  let [typed, at, held] = ["", 0, undefined];
  addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.timeStamp - at > 60) typed = "";
    at = event.timeStamp;
    clearTimeout(held);
    const target = event.target;
    if (event.key === "Enter") {
      if (typed.length > 2 && /\d/.test(typed)) {
        event.preventDefault();
        const elsewhere = "value" in target && !target.matches("[data-scale]");
        if (elsewhere && target.value.endsWith(typed)) target.value = target.value.slice(0, -typed.length);
        form.dispatchEvent(new CustomEvent("reading", { detail: typed.trim() }));
      }
      typed = "";
    } else if (event.key.length === 1) {
      typed += event.key;
      // A scale's leading blanks must not press what has the focus.
      if (event.key === " " && target.matches?.(PRESSED)) {
        event.preventDefault();
        held = setTimeout(() => target.click(), 90);
      }
    }
  }, true);
  addEventListener("keyup", (event) => {
    if (event.key === " " && event.target.matches?.(PRESSED)) event.preventDefault();
  }, true);
})();
