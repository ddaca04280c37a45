"use strict";
// Reads a serial by the tablet's camera and shows it large. Only a tap on "Take it" brings it into the field that asked
// for it, as if it had been typed there; ticking the step stays a tap of its own. The reader of codes is fetched when
// the camera has opened, and from this machine.
(() => {
  const BETWEEN_LOOKS = 100; // milliseconds in which the picture moves on and a tap gets through
  const WIDEST = 1280; // dots; a larger picture takes longer and reads no better a hand's length away
  const LONGEST = 64; // letters; a serial is shorter, the address of a web page is not
  const READS = { formats: ["QRCode", "DataMatrix", "Code128"], textMode: "Plain", tryHarder: true, maxNumberOfSymbols: 4 };
  const CAMERA = { video: { facingMode: "environment", width: { ideal: 1920 }, height: { ideal: 1080 } }, audio: false };
  // What the browser calls it, and which sentence of the page says it.
  const FAULTS = {
    NotAllowedError: "refused", SecurityError: "refused", NotFoundError: "none", NotSupportedError: "none", OverconstrainedError: "none",
  };
  const $ = (selector) => document.querySelector(selector);
  const scan = $("#scan");
  const view = $("#view");
  const take = $("#take");
  const canvas = document.createElement("canvas");
  const board = canvas.getContext("2d", { willReadFrequently: true });
  let stream = null;
  let reading = null;

  const say = (state) => {
    scan.dataset.state = state;
    document.querySelectorAll("#scan-words [data-when]").forEach((line) => { line.hidden = line.dataset.when !== state; });
  };

  // Opening and closing

  const loadReader = () => new Promise((loaded, failed) => {
    const script = document.createElement("script");
    script.src = scan.dataset.reader;
    script.onload = loaded;
    script.onerror = failed;
    document.head.append(script);
  }).then(() => ZXingWASM.prepareZXingModule({
    overrides: { locateFile: () => scan.dataset.readerCode },
    fireImmediately: true,
  }));

  const open = async () => {
    say("opening");
    try {
      stream = await navigator.mediaDevices.getUserMedia(CAMERA);
    } catch (fault) {
      say(FAULTS[fault.name] || "busy");
      return;
    }
    if (document.hidden) { close(); say("looking"); return; }
    view.srcObject = stream;
    try {
      reading = reading || loadReader();
      await Promise.all([reading, view.play()]);
    } catch {
      reading = null;
      close();
      say("no-reader");
      return;
    }
    showLamp();
    look();
  };

  const close = () => {
    if (stream) { stream.getTracks().forEach((track) => track.stop()); }
    stream = null;
  };

  // Looking

  const picture = () => {
    const scale = Math.min(1, WIDEST / view.videoWidth);
    canvas.width = Math.round(view.videoWidth * scale);
    canvas.height = Math.round(view.videoHeight * scale);
    board.drawImage(view, 0, 0, canvas.width, canvas.height);
    return board.getImageData(0, 0, canvas.width, canvas.height);
  };

  const offMiddle = ({ position: { topLeft, bottomRight } }) => Math.hypot(
    (topLeft.x + bottomRight.x - canvas.width) / 2, (topLeft.y + bottomRight.y - canvas.height) / 2,
  );

  const look = async () => {
    say("looking");
    while (stream && scan.dataset.state === "looking") {
      const codes = view.videoWidth ? await ZXingWASM.readBarcodes(picture(), READS) : [];
      const read = codes.filter((code) => code.isValid && code.text.trim());
      // The page may have been left, or a scanner may have read it, meanwhile.
      if (read.length && scan.dataset.state === "looking") {
        read.sort((one, other) => offMiddle(one) - offMiddle(other));
        show(read[0].text, new Set(read.map((code) => code.text)).size > 1 ? "several" : "read");
      }
      await new Promise((pause) => { setTimeout(pause, BETWEEN_LOOKS); });
    }
  };

  // Showing, and taking

  const show = (text, state) => {
    const serial = text.trim();
    const fits = serial.length <= LONGEST && !/[\u0000-\u001f\u007f]/.test(serial);
    view.pause();
    $("#scanned").textContent = serial.slice(0, LONGEST);
    take.disabled = !fits;
    $("#again").disabled = !stream;
    say(fits ? state : "unfit");
    if (navigator.vibrate) { navigator.vibrate(60); }
  };

  const again = async () => {
    take.disabled = true;
    $("#again").disabled = true;
    $("#scanned").textContent = "";
    await view.play();
    look();
  };

  take.addEventListener("click", () => {
    const typed = { action: scan.dataset.action, name: scan.dataset.field, value: $("#scanned").textContent };
    document.dispatchEvent(new CustomEvent("twinleg:typed", { detail: typed }));
    close();
    location.assign(scan.dataset.back);
  });
  $("#again").addEventListener("click", again);
  document.addEventListener("twinleg:scanned", (event) => {
    event.preventDefault(); // it has found its place
    show(event.detail, "read");
  });

  // The lamp, where the camera has one

  const showLamp = () => {
    const [track] = stream.getVideoTracks();
    $("#lamp").hidden = !(track.getCapabilities && track.getCapabilities().torch);
    light(false);
  };
  const light = (on) => $("#lamp").setAttribute("aria-pressed", String(on));
  $("#lamp").addEventListener("click", async () => {
    const on = $("#lamp").getAttribute("aria-pressed") !== "true";
    await stream.getVideoTracks()[0].applyConstraints({ advanced: [{ torch: on }] });
    light(on);
  });

  // A tablet that is put away keeps no camera open

  document.addEventListener("visibilitychange", () => {
    if (document.hidden) { close(); } else if (!stream && scan.dataset.state === "looking") { open(); }
  });
  window.addEventListener("pagehide", close);

  if (!window.isSecureContext || !navigator.mediaDevices) { say("insecure"); } else { open(); }
})();
