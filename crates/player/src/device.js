// What browsers do differently, or have no binding for; each step may be missing or refused.

let seconds = 0;
let due = Infinity;

// Says that the way to the ear may be another: a run starts, a headset comes or goes.
export function listenAnew() {
  due = -1;
}

navigator.mediaDevices?.addEventListener("devicechange", listenAnew);

// Seconds between the context's time and the ear, 0 where the browser does not say. Some say
// nonsense while a headset connects: nothing above half a second is believed. It is read once a
// run, when the sound flows, and never each frame: the page waits for the answer, and Firefox
// locks up for good when it asks PulseAudio while that asks for sound.
export function latency(context) {
  const now = context.currentTime;
  if (due < 0) due = now + 0.5;
  if (due <= now) {
    due = Infinity;
    const own = context.outputLatency || context.baseLatency || 0;
    seconds = own > 0 && own < 0.5 ? own : 0;
  }
  return seconds;
}

// Where the ring switch would mute a page, this says that the sound is what the page is for.
export function soundAlways() {
  try {
    navigator.audioSession.type = "playback";
  } catch {
    // Only some browsers have it.
  }
}

let wanted = false;
let lock = null;
let asking = false;

// One question at a time: of two locks the first would never be given back.
async function ask() {
  if (!wanted || lock || asking) return;
  asking = true;
  try {
    lock = await navigator.wakeLock.request("screen");
    const own = lock;
    own.addEventListener("release", () => (lock = lock === own ? null : lock), { once: true });
  } catch {
    // Refused, or unknown to the browser: the screen stays as it is set.
  }
  asking = false;
  if (!wanted) release();
}

function release() {
  lock?.release().catch(() => {});
  lock = null;
}

// The system takes the lock away with the page's visibility; it is asked for again.
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible") ask();
});

export function stayAwake(on) {
  wanted = on;
  if (on) ask();
  else release();
}

// What a teacher recorded is for reading at rest: the click alone sounds while it plays.
export function hushNotes() {
  for (const note of document.querySelectorAll("audio")) note.pause();
}

export function canBuzz() {
  return "vibrate" in navigator;
}

export function buzz() {
  navigator.vibrate?.(40);
}

// Only voices of the device itself: others would send the words away.
function voice() {
  const voices = globalThis.speechSynthesis?.getVoices() ?? [];
  const { lang } = document.documentElement;
  return voices.find((own) => own.localService === true && own.lang.startsWith(lang));
}

export function canSpeak() {
  return Boolean(voice());
}

export function speak(text) {
  const words = new SpeechSynthesisUtterance(text);
  words.voice = voice() ?? null;
  if (!words.voice) return;
  speechSynthesis.cancel();
  speechSynthesis.speak(words);
}

// Works over file://, too, where the newer way is not everywhere.
export function copyFrom(id) {
  document.getElementById(id).select();
  return document.execCommand("copy");
}

// Boot listens where a page around the guide may hear it.
export function tell(measure, section) {
  dispatchEvent(new CustomEvent("cueleaf-at", { detail: { measure, section } }));
}
