"use strict";
// A scanner types like a very fast hand and ends with Enter. What it reads goes to the open serial field of the page,
// wherever the focus is; where nothing asks for a serial it is refused with the reason, and presses no button.
(() => {
  const BURST = 60; // milliseconds between two keys of a scanner; no hand is that quick
  const STUTTER = 250; // a busy tablet may put so much between two of its keys
  const MOSTLY = 0.75; // of the gaps are quick
  const SHORTEST = 3;
  const SAID_FOR = 15000;
  const $ = (selector, root = document) => root.querySelector(selector);
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  let typed = "";
  let quick = 0;
  let before = 0;
  let started = null;
  let last = null;
  let saying = 0;

  const isText = (element) => element.matches("textarea, select, input:not([type=checkbox]):not([type=radio]):not([type=file])");
  // The first that is empty; where all are filled, the one that was filled last. What is folded away expects nothing.
  const openField = () => {
    const shown = all("[data-scan]").filter((field) => !field.closest("details:not([open])"));
    return shown.find((field) => !field.value.trim()) || (shown.includes(last) ? last : shown[0]);
  };
  const changed = (field) => field.dispatchEvent(new Event("input", { bubbles: true }));

  // The reason lies over the page, so that nothing moves when it comes
  const refuse = (text, why) => {
    const line = $("#no-scan");
    $("[data-text]", line).textContent = text;
    all("[data-when]", line).forEach((part) => { part.hidden = part.dataset.when !== why; });
    line.hidden = false;
    clearTimeout(saying);
    saying = setTimeout(hush, SAID_FOR);
  };
  const hush = () => { $("#no-scan").hidden = true; };

  const putBack = () => {
    if (!started) { return; }
    started.field.value = started.value;
    changed(started.field);
  };

  const endSerial = (field) => {
    changed(field);
    const next = all("[data-reading]").find((other) => !other.value.trim());
    if (next) { next.focus(); } else { field.blur(); }
  };

  const fill = (field, text) => {
    if (started && started.field !== field) { putBack(); }
    field.value = text;
    last = field;
    changed(field);
    hush();
  };

  const take = (text, target) => {
    const field = openField();
    if (field) { fill(field, text); return; }
    if (target.matches("[data-reading]")) { putBack(); refuse(text, "number"); return; }
    if (document.dispatchEvent(new CustomEvent("twinleg:scanned", { detail: text, cancelable: true }))) {
      refuse(text, "nothing");
    }
  };

  // A PIN and a note are whoever's who types them; a number with a unit is read off a tool.
  const isLeftAlone = (text, target) => {
    if (!isText(target) || target.matches("[data-reading]")) { return false; }
    return !openField() || !/[^0-9.,]/.test(text);
  };

  const begin = (target) => {
    typed = "";
    quick = 0;
    started = isText(target) ? { field: target, value: target.value } : null;
  };

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) { return; }
    const gap = event.timeStamp - before;
    before = event.timeStamp;
    if (event.key.length === 1) {
      if (!typed || gap > STUTTER) { begin(event.target); } else { quick += Number(gap < BURST); }
      typed += event.key;
      return;
    }
    if (event.key !== "Enter") { if (event.key !== "Shift") { typed = ""; } return; }
    const text = typed;
    const isScan = text.length >= SHORTEST && quick + Number(gap < BURST) >= MOSTLY * text.length;
    typed = "";
    if (event.target.matches("[data-scan]")) {
      event.preventDefault(); // the scanner's Enter ends a serial, it does not tick a step
      if (isScan && started) { fill(event.target, text); } // what stood in the field before is not part of it
      endSerial(event.target);
      return;
    }
    if (!isScan || isLeftAlone(text, event.target)) { return; }
    event.preventDefault();
    event.stopPropagation();
    take(text, event.target);
  }, true);
  document.addEventListener("click", hush, true);
})();
