"use strict";
// News of a run while its page is open. It is a hint: the page is renewed where nothing is half typed, else a
// line says who changed what it shows. What is typed always stays, and without this file nothing is lost.
(() => {
  const ASK_EVERY = 3000;
  const CONSIDER_EVERY = 500;
  const ANSWER_WITHIN = 3500;
  const HANDS_OFF = 1500; // a page does not change under a finger that is on its way
  const STEADY = 1500; // what has come under the finger is not taken for a tap
  const TOLD_FOR = 6000;
  const $ = (selector, root = document) => root.querySelector(selector);
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  let source = null;
  let news = null;
  let sending = false;
  let renewing = false;
  let touched = -HANDS_OFF;

  const address = (ending) => {
    const { run, seen } = $("#news").dataset;
    const here = $("#here");
    return `${run}/live${ending}?seen=${seen}&step=${here ? here.dataset.step : 0}`;
  };

  // Hearing: a stream, or a question every few seconds where there is none

  const stop = () => {
    if (source) { source.close(); }
    source = null;
  };
  const listen = () => {
    stop();
    news = null;
    if (!$("#news") || document.hidden) { return; }
    source = new EventSource(address(""));
    source.onmessage = (event) => hear(JSON.parse(event.data));
    source.onerror = () => document.dispatchEvent(new Event("twinleg:look"));
  };
  const ask = async () => {
    if (!source || source.readyState !== EventSource.CLOSED || sending || renewing) { return; }
    const page = $("#page");
    try {
      const answer = await fetch(address("/once"), { cache: "no-store", signal: AbortSignal.timeout(ANSWER_WITHIN) });
      if (answer.ok && page === $("#page")) { hear(await answer.json()); }
    } catch {
      // Whether the server answers at all is looked after in app.js.
    }
  };
  const hear = (told) => {
    if (!$("#news")) { return; }
    showHere(told.here);
    news = told;
    consider();
  };

  // Considering: nothing that is half done is touched

  const isTyped = (field) => {
    if (field.type === "hidden") { return false; }
    if (field.matches("[type=checkbox], [type=radio]")) { return field.checked !== field.defaultChecked; }
    if (field.matches("select")) {
      return field.selectedIndex !== Math.max(0, [...field.options].findIndex((option) => option.defaultSelected));
    }
    return field.value !== field.defaultValue;
  };
  const isHalfDone = () => {
    const page = $("#page");
    return all("input, select, textarea", page).some(isTyped)
      || $(".banner, form .refused, .is-waiting, details.more[open] form, .menu[open]", page) !== null;
  };
  const isNews = () => news && $("#news") && news.sequence > Number($("#news").dataset.seen);
  const consider = () => {
    if (!isNews() || sending || renewing || document.hidden) { return; }
    if ($("#here") && !isHalfDone()) {
      if (performance.now() - touched > HANDS_OFF) { renew(); }
    } else if (news.touched) {
      say(news.by, false);
    }
  };
  const renew = async () => {
    const page = $("#page");
    const told = news;
    renewing = true;
    try {
      const answer = await fetch(location.pathname + location.search, {
        headers: { "HX-Request": "true" }, cache: "no-store", signal: AbortSignal.timeout(ANSWER_WITHIN),
      });
      const text = answer.status === 200 ? await answer.text() : "";
      const fresh = $("#page", new DOMParser().parseFromString(text, "text/html"));
      if (fresh && page === $("#page") && !sending && !isHalfDone()) { replace(page, fresh, told); }
    } catch {
      // It is tried again: the news is still there.
    }
    renewing = false;
  };
  const replace = (page, fresh, told) => {
    const act = actOf(page);
    page.replaceWith(fresh);
    htmx.process(fresh);
    document.dispatchEvent(new Event("twinleg:renewed"));
    if (actOf(fresh) !== act) { steady(); }
    listen();
    say(told.by, true);
  };
  const actOf = (page) => {
    const act = $(".action-bar .main-act", page);
    return act ? act.textContent : "";
  };
  const steady = () => {
    const bar = $(".action-bar");
    if (!bar) { return; }
    bar.inert = true;
    setTimeout(() => { bar.inert = false; }, STEADY);
  };

  // Showing

  const say = (names, isShown) => {
    const line = $("#news");
    if (!line) { return; }
    const by = names.length ? `${line.dataset.by} ${names.join(", ")}` : line.dataset.bySomebody;
    if ($("p", line).textContent !== by) { $("p", line).textContent = by; }
    $("a", line).hidden = isShown;
    line.hidden = false;
    if (isShown) { setTimeout(() => { line.hidden = $("a", line).hidden; }, TOLD_FOR); }
  };
  const showHere = (lines) => {
    const here = $("#here");
    if (!here) { return; }
    $("ul", here).replaceChildren(...(lines.length ? lines : [here.dataset.nobody]).map((line) => {
      const item = document.createElement("li");
      item.textContent = line;
      return item;
    }));
  };

  ["pointerdown", "keydown", "wheel", "touchmove"].forEach((kind) => {
    document.addEventListener(kind, () => { touched = performance.now(); }, { capture: true, passive: true });
  });
  document.addEventListener("htmx:beforeRequest", () => { sending = true; });
  document.addEventListener("htmx:afterRequest", () => { sending = false; });
  document.addEventListener("htmx:afterSettle", listen);
  document.addEventListener("visibilitychange", () => { if (document.hidden) { stop(); } else { listen(); } });
  window.addEventListener("pagehide", stop);
  window.addEventListener("pageshow", (event) => { if (event.persisted) { listen(); } });
  // Who takes a serial on the page of the camera taps once too often with a glove on.
  if (/\/scan(\/|\?|$)/.test(document.referrer)) { steady(); }
  setInterval(consider, CONSIDER_EVERY);
  setInterval(ask, ASK_EVERY);
  listen();
})();
