"use strict";
// What the pages do beyond forms: say NOT RECORDED, send again, read back.
// Everything works without this file; nothing is recorded here, only on the server.
(() => {
  const LOOK_EVERY = 3000;
  const LOOK_TIMEOUT = 3500;
  const $ = (selector, root = document) => root.querySelector(selector);
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  let waiting = null;
  let away = false;
  let signing = false;

  // NOT RECORDED, and sending again with the same key

  const show = () => {
    const box = $("#not-recorded");
    const state = waiting ? "waiting" : signing ? "signing" : away ? "away" : "";
    box.hidden = state === "";
    all("[data-when]", box).forEach((line) => { line.hidden = line.dataset.when !== state; });
  };

  const hold = (form, held) => [form, ...form.elements].forEach((part) => {
    part.inert = held;
    part.classList.toggle("is-waiting", held);
  });

  const lost = (event) => {
    const form = event.detail.elt.closest("form");
    away = true;
    if (form && form.hasAttribute("data-never-queued")) {
      signing = true;
    } else if (form) {
      waiting = form;
      hold(form, true); // what is on its way must not change under its key
    }
    show();
  };

  const giveUp = () => {
    if (waiting) { hold(waiting, false); }
    waiting = null;
    signing = false;
    show();
  };

  const look = async () => {
    if (document.hidden) { return; }
    try {
      const answer = await fetch("/alive", { cache: "no-store", signal: AbortSignal.timeout(LOOK_TIMEOUT) });
      if (!answer.ok) { throw new Error(String(answer.status)); }
      away = false;
      if (waiting && waiting.isConnected) {
        const form = waiting;
        giveUp();
        htmx.trigger(form, "submit");
      }
    } catch {
      away = true;
    }
    show();
  };

  document.addEventListener("htmx:sendError", lost);
  document.addEventListener("htmx:timeout", lost);
  document.addEventListener("htmx:beforeRequest", () => { signing = false; });
  window.addEventListener("offline", look);
  document.addEventListener("twinleg:look", look);
  window.addEventListener("online", look);
  document.addEventListener("visibilitychange", look);
  setInterval(look, LOOK_EVERY);

  // The value comes back large beside the button that records it

  const FEW_READ_BACK = 3;
  const MOST_IN_ONE = 5;
  const readBack = () => {
    const output = $("#readback");
    if (!output) { return; }
    const read = all("[data-reading]").filter((field) => field.value.trim()).map((field) => {
      const unit = document.getElementById(field.id.replace("value", "unit"));
      return `${field.value.trim()} ${unit ? unit.selectedOptions[0].textContent : ""}`;
    });
    output.classList.toggle("many", read.length > FEW_READ_BACK);
    output.classList.toggle("in-two", read.length > MOST_IN_ONE);
    output.replaceChildren(...read.map((text) => {
      const line = document.createElement("span");
      line.textContent = text;
      return line;
    }));
  };

  document.addEventListener("input", readBack);
  document.addEventListener("change", readBack);

  // After a swap: say what came, show what was refused, put the focus where the eye should go

  const ready = (root) => {
    readBack();
    all("[data-keypad]", root).forEach((pad) => { pad.hidden = false; });
  };
  document.addEventListener("twinleg:renewed", () => {
    ready($("#page"));
    $("#said").textContent = $("#page").dataset.said || "";
  });
  document.addEventListener("htmx:afterSettle", () => {
    const page = $("#page");
    ready(page);
    if (page.dataset.said) { $("#said").textContent = page.dataset.said; }
    const refused = $("form .refused", page) || $(".refused[role=alert]", page);
    if (refused) {
      refused.scrollIntoView({ block: "center" });
      ($("[aria-invalid=true]", page) || refused).focus({ preventScroll: true });
    } else {
      window.scrollTo(0, 0);
      const heading = $("h1", page);
      if (heading) { heading.setAttribute("tabindex", "-1"); heading.focus({ preventScroll: true }); }
    }
  });

  // The keypad for PINs, and giving up a form that waits

  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-digit]");
    if (key) {
      const field = document.getElementById(key.closest("[data-keypad]").dataset.keypad);
      field.value = key.dataset.digit === "back" ? field.value.slice(0, -1) : field.value + key.dataset.digit;
    }
    if (event.target.closest("[data-act=give-up]")) { giveUp(); }
    const menu = $(".menu[open]");
    if (menu && !menu.contains(event.target)) { menu.open = false; }
  });

  const openNamed = () => {
    const named = location.hash && document.getElementById(location.hash.slice(1));
    if (named && named.matches("details")) { named.open = true; named.scrollIntoView({ block: "center" }); }
  };
  window.addEventListener("hashchange", openNamed);

  // On the whole page, so that nothing moves when a part of it is swapped.
  document.documentElement.classList.toggle("has-camera", window.isSecureContext && Boolean(navigator.mediaDevices));
  ready(document);
  openNamed();
  look();
})();
