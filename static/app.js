"use strict";
// What the pages do beyond forms: keep what was typed, say NOT RECORDED, send again.
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

  // What was typed survives a reload and a change of person; PINs are never kept

  const draftName = (action, name, value = "") => `draft ${action} ${name} ${value}`;
  const draftOf = (field) => {
    const form = field.form;
    if (!form || !field.name || field.type === "hidden" || field.type === "password" || field.type === "file") { return ""; }
    return draftName(form.getAttribute("action"), field.name, field.type === "checkbox" ? field.value : "");
  };
  const keep = (name, value) => {
    try {
      sessionStorage.setItem(name, value);
    } catch {
      // A draft is a comfort; a browser without room for it still sends the form.
    }
  };
  const keepDraft = (field) => {
    const name = draftOf(field);
    if (name) { keep(name, field.type === "checkbox" ? String(field.checked) : field.value); }
  };
  const bringBack = (root) => all("input, select, textarea", root).forEach((field) => {
    const kept = sessionStorage.getItem(draftOf(field));
    if (kept === null) { return; }
    if (field.type === "checkbox") {
      field.checked = kept === "true";
    } else if (field.type === "radio") {
      field.checked = kept === field.value;
    } else {
      field.value = kept;
    }
  });
  const forgetDrafts = (form) => {
    const start = `draft ${form.getAttribute("action")} `;
    Object.keys(sessionStorage).filter((name) => name.startsWith(start)).forEach((name) => sessionStorage.removeItem(name));
  };

  // The value comes back large beside the button that records it

  const readBack = () => {
    const output = $("#readback");
    if (!output) { return; }
    output.replaceChildren(...all("[data-reading]").filter((field) => field.value.trim()).map((field) => {
      const line = document.createElement("span");
      const unit = document.getElementById(field.id.replace("value", "unit"));
      line.textContent = `${field.value.trim()} ${unit ? unit.selectedOptions[0].textContent : ""}`;
      return line;
    }));
  };

  // A number that was typed keeps the unit that stood beside it, whatever unit is offered next time.
  const keepUnit = (field) => {
    const unit = field.matches("[data-reading]") && document.getElementById(field.id.replace("value", "unit"));
    if (unit) { keepDraft(unit); }
  };

  document.addEventListener("input", (event) => { keepDraft(event.target); keepUnit(event.target); readBack(); });
  document.addEventListener("change", (event) => { keepDraft(event.target); readBack(); });
  // What another page read for a field counts as typed there.
  document.addEventListener("twinleg:typed", ({ detail }) => keep(draftName(detail.action, detail.name), detail.value));
  // Whoever is sent to sign in comes back to what he had typed; a form that was taken leaves nothing behind.
  const wasTaken = ({ successful, xhr }) => {
    const elsewhere = xhr.getResponseHeader("HX-Redirect");
    return elsewhere ? !/^\/(sign-in\?|first-start)/.test(elsewhere) : successful;
  };
  document.addEventListener("htmx:afterRequest", (event) => {
    // Not the event's own element: the form may have left the page with the answer.
    const form = event.detail.requestConfig.elt.closest("form");
    if (form && wasTaken(event.detail)) { forgetDrafts(form); }
  });
  document.addEventListener("submit", (event) => {
    if (!event.target.hasAttribute("hx-post")) { forgetDrafts(event.target); }
  });

  // After a swap: say what came, show what was refused, put the focus where the eye should go

  const ready = (root) => {
    bringBack(root);
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
