// The page around the terminal: its size, the keys for fingers, and what is said when the socket closes.
"use strict";

const COLUMNS = 80; // what every page of the app is drawn for
const LETTER = 0.602; // a letter's width by its height
const LARGEST = 16;
const SMALLEST = 8; // pixels; below it nobody reads
const TRY_AGAIN = 2000; // milliseconds
const ENDS = {
  4001: ["Kitwright was left", "All that was booked is kept."],
  4002: ["Kitwright ended", "What was booked is kept. The shop's computer says why."],
  4003: ["Opened in another tab", "This browser shows it there. Take it back here?", "Show it here"],
};

const STOPPED = 4004;
const NOWHERE = "\u001b[<35;1;1M"; // the mouse, no button pressed, in the corner of the screen
const LIFTED = 100; // milliseconds

const terminal = document.getElementById("terminal");
const told = document.getElementById("told");
let socket = null;

function tell(title, text, button) {
  told.querySelector("h1").textContent = title;
  told.querySelector("p").textContent = text;
  const again = document.getElementById("again");
  again.hidden = !button;
  again.textContent = button || "";
  told.hidden = false;
  if (button) again.focus();
}

// Load the page anew as soon as the server would show the app; the app itself was kept.
async function comeBack() {
  let status = 0;
  try {
    status = (await fetch("/open", { cache: "no-store" })).status;
  } catch {
    // no way there yet
  }
  if (status === 204 || status === 403 || status === 503) location.reload();
  else setTimeout(comeBack, TRY_AGAIN);
}

function closed(event) {
  const end = ENDS[event.code];
  if (end) {
    tell(end[0], end[1], end[2] || "Start again");
    return;
  }
  if (event.code === STOPPED) tell("The server was stopped", "What was booked is kept. Waiting until it runs again.", "");
  else tell("The connection is lost", "Trying again. What was typed is still there for ten minutes.", "");
  setTimeout(comeBack, 300);
}

// The terminal makes its own socket: it is the only one of this page.
window.WebSocket = class extends WebSocket {
  constructor(...given) {
    super(...given);
    socket = this;
    this.addEventListener("close", closed);
  }

  // What is typed before it is open goes out once it is.
  send(data) {
    if (this.readyState === this.CONNECTING) this.addEventListener("open", () => super.send(data));
    else super.send(data);
  }
};

function send(keys) {
  if (socket && socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(["stdin", keys]));
}

function letters() {
  return terminal.querySelector("textarea");
}

// On glass the keyboard comes when it is asked for, not with every touch.
function keyboard(shown) {
  document.getElementById("letters").setAttribute("aria-pressed", shown);
  letters().inputMode = shown ? "text" : "none";
  letters().blur();
  letters().focus();
}

// A finger that is drawn over the screen turns the wheel there.
function drag() {
  let from = null;
  terminal.addEventListener("touchstart", (event) => {
    from = event.touches.length === 1 ? event.touches[0] : null;
  }, { passive: true });
  terminal.addEventListener("touchmove", (event) => {
    const finger = event.touches[0];
    const line = Number(terminal.dataset.fontSize) * 1.3;
    if (!from || event.touches.length !== 1 || Math.abs(from.clientY - finger.clientY) < line) return;
    const wheel = { deltaY: Math.sign(from.clientY - finger.clientY) * line * 2, bubbles: true, cancelable: true };
    wheel.clientX = finger.clientX;
    wheel.clientY = finger.clientY;
    terminal.querySelector(".xterm-screen").dispatchEvent(new WheelEvent("wheel", wheel));
    from = finger;
  }, { passive: true });
}

// A finger that is gone rests nowhere: what is said of a thing under a mouse would else stay over the screen.
function lift() {
  let kind = "";
  terminal.addEventListener("pointerdown", (event) => { kind = event.pointerType; }, true);
  terminal.addEventListener("mouseup", () => {
    if (kind === "touch") setTimeout(() => send(NOWHERE), LIFTED);
  }, true);
}

function setUpKeys() {
  const keys = document.getElementById("keys");
  keys.addEventListener("pointerdown", (event) => event.preventDefault()); // the focus stays in the terminal
  for (const button of keys.querySelectorAll("[data-send]")) {
    const sent = JSON.parse(`"${button.dataset.send}"`);
    button.addEventListener("click", () => send(sent));
  }
  const shown = document.getElementById("letters");
  shown.addEventListener("click", () => keyboard(shown.getAttribute("aria-pressed") !== "true"));
}

async function begin() {
  const size = Math.floor((2 * terminal.clientWidth) / COLUMNS / LETTER) / 2;
  terminal.dataset.fontSize = Math.max(SMALLEST, Math.min(LARGEST, size));
  terminal.dataset.sessionWebsocketUrl = `${location.origin.replace(/^http/, "ws")}/ws`;
  // Drawn before its letters are there, the screen would be measured by others.
  await document.fonts.load(`${LARGEST}px "Roboto Mono"`);
  const script = document.createElement("script");
  script.src = "/static/terminal.js";
  script.addEventListener("load", () => {
    window.onload(); // it waits for the page, which stands already
    drag();
    lift();
    if (matchMedia("(any-pointer: coarse)").matches) keyboard(false);
    else letters().focus();
  });
  document.head.append(script);
}

document.getElementById("again").addEventListener("click", () => location.reload());
setUpKeys();
if (document.readyState === "complete") begin();
else window.addEventListener("load", begin);
