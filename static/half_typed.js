"use strict";
// What is half typed in a form of a run is sent to the server, which fills the form with it on whatever page
// shows it next. What the server has not taken yet stays in this tab as well, and one rule says which counts:
// it is newer than what the page came with, so it goes back into its field, and is sent once the server
// answers. A form of no run is kept by this tab alone. PINs and files are never kept.
(() => {
  const AFTER = 1000; // milliseconds without a key
  const AGAIN_AFTER = 3000;
  const ANSWER_WITHIN = 3500;
  const NEVER_KEPT = ["hidden", "password", "file", "submit", "button"];
  const PREFIX = "half typed ";
  const ELSEWHERE = "read elsewhere ";
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  const timers = new Map();
  const going = new Set();

  // A place in this tab for each form; one that a single person may see has that person in its name

  const isSent = (form) => "halfTyped" in form.dataset;
  const placeOf = (form) => {
    const { keptAt, alone, halfTyped } = form.dataset;
    return PREFIX + (isSent(form) ? `${keptAt} ${alone} ${halfTyped}` : form.getAttribute("action"));
  };
  const formAt = (place) => all("form").find((form) => placeOf(form) === place);
  const isKept = (field) => field.name && !NEVER_KEPT.includes(field.type);
  const isTicked = (field) => field.matches("[type=checkbox], [type=radio]");

  const typedIn = (form) => {
    const meant = isSent(form) ? { key: form.elements.key.value, form: form.dataset.halfTyped } : {};
    const typed = new URLSearchParams(meant);
    [...form.elements].filter(isKept).forEach((field) => {
      if (!isTicked(field) || field.checked) { typed.append(field.name, field.value); }
    });
    return typed;
  };
  const read = (place) => {
    const text = sessionStorage.getItem(place);
    return text && JSON.parse(text);
  };
  const write = (form) => {
    try {
      const { keptAt, alone } = form.dataset;
      sessionStorage.setItem(placeOf(form), JSON.stringify({ at: keptAt, alone, typed: String(typedIn(form)) }));
    } catch {
      // A tab without room still has the page itself.
    }
  };

  // Sending: after a pause, and at once when the field or the page is left

  const sendSoon = (place, after = AFTER) => {
    clearTimeout(timers.get(place));
    timers.set(place, setTimeout(() => send(place), after));
  };
  const send = async (place, isLeaving = false) => {
    clearTimeout(timers.get(place));
    timers.delete(place);
    const kept = read(place);
    if (!kept || (going.has(place) && !isLeaving)) { return; }
    going.add(place);
    let status = 0;
    let words = "";
    try {
      const answer = await fetch(kept.at, {
        method: "POST",
        body: new URLSearchParams(kept.typed),
        keepalive: true, // it goes on when the page is gone
        cache: "no-store",
        signal: AbortSignal.timeout(ANSWER_WITHIN),
      });
      status = answer.status;
      words = status >= 400 && status < 500 ? await answer.text() : "";
    } catch {
      // No answer: it is sent again.
    }
    going.delete(place);
    const now = read(place);
    if (now && now.typed !== kept.typed) {
      sendSoon(place);
    } else if (status >= 200 && status < 300) {
      sessionStorage.removeItem(place);
    } else if (status === 0 || status >= 500) {
      sendSoon(place, AGAIN_AFTER);
    }
    tell(place, words);
  };
  const sendNow = () => [...timers.keys()].forEach((place) => send(place, true));

  // A refusal stands below its form, where it moves nothing that is being typed into

  const tell = (place, words) => {
    const form = formAt(place);
    const before = form && form.querySelector(".not-kept");
    if (before) { before.remove(); }
    if (!form || !words) { return; }
    const line = document.createElement("p");
    line.className = "refused not-kept";
    line.setAttribute("role", "alert");
    line.textContent = words;
    form.append(line);
  };

  const keep = (event) => {
    const form = event.target.form;
    if (!form || !isKept(event.target)) { return; }
    write(form);
    if (isSent(form)) { sendSoon(placeOf(form)); }
  };
  const leave = (event) => {
    const form = event.target.form;
    if (form && timers.has(placeOf(form))) { send(placeOf(form)); }
  };

  // Bringing back, and letting go of what was taken

  const fill = (form, typed) => [...form.elements].filter(isKept).forEach((field) => {
    if (isTicked(field)) {
      if (typed.has(field.name)) { field.checked = typed.getAll(field.name).includes(field.value); }
    } else if (typed.has(field.name)) {
      field.value = typed.get(field.name);
    }
  });
  const bringBack = () => all("form").forEach((form) => {
    const elsewhere = ELSEWHERE + form.getAttribute("action");
    const kept = [read(placeOf(form)), read(elsewhere)].filter(Boolean);
    if (!kept.length) { return; }
    kept.forEach(({ typed }) => fill(form, new URLSearchParams(typed)));
    write(form); // under the key of the form as it is now
    sessionStorage.removeItem(elsewhere);
    const folded = form.closest("details");
    if (folded) { folded.open = true; }
    if (isSent(form)) { sendSoon(placeOf(form)); }
  });
  const sendWhatIsLeft = () => Object.keys(sessionStorage)
    .filter((place) => place.startsWith(PREFIX) && !timers.has(place) && read(place).at && !read(place).alone)
    .forEach((place) => sendSoon(place));
  const letGo = (form) => {
    const kept = form.matches(".half-typed") ? form.nextElementSibling : form;
    clearTimeout(timers.get(placeOf(kept)));
    timers.delete(placeOf(kept));
    sessionStorage.removeItem(placeOf(kept));
  };
  // Whoever is sent to sign in comes back to what he had typed; a form that was taken leaves nothing behind.
  const wasTaken = ({ successful, xhr }) => {
    const elsewhere = xhr.getResponseHeader("HX-Redirect");
    return elsewhere ? !/^\/(sign-in\?|first-start)/.test(elsewhere) : successful;
  };

  // What another page read for a field counts as typed there.
  document.addEventListener("twinleg:typed", ({ detail: { action, name, value } }) => {
    sessionStorage.setItem(ELSEWHERE + action, JSON.stringify({ typed: String(new URLSearchParams({ [name]: value })) }));
  });
  document.addEventListener("input", keep);
  document.addEventListener("change", keep);
  document.addEventListener("focusout", leave);
  document.addEventListener("visibilitychange", () => { if (document.hidden) { sendNow(); } });
  window.addEventListener("pagehide", sendNow);
  document.addEventListener("htmx:afterRequest", (event) => {
    // Not the event's own element: the form may have left the page with the answer.
    const form = event.detail.requestConfig.elt.closest("form");
    if (form && wasTaken(event.detail)) { letGo(form); }
  });
  document.addEventListener("submit", (event) => {
    if (!event.target.hasAttribute("hx-post")) { letGo(event.target); }
  });
  // These run before the same events reach app.js, which reads back what is in the fields.
  document.addEventListener("htmx:afterSettle", bringBack);
  document.addEventListener("twinleg:renewed", bringBack);
  bringBack();
  sendWhatIsLeft();
})();
