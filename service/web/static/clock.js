// The service's clock. Answers hold absolute times only; the seconds are counted here.

const RESET_MS = 60_000;
let atService = Date.now();
let atHere = Date.now();
let pace = 1;

export const now = () => atService + (Date.now() - atHere) * pace;
export const secondsTo = (time) => (Date.parse(time) - now()) / 1000;
export const secondsSince = (time) => -secondsTo(time);

export async function setClock(bar) {
  const sent = Date.now();
  const answer = await fetch(`/counter/${encodeURIComponent(bar)}/clock`, { cache: "no-store" });
  const told = await answer.json();
  atHere = Date.now();
  pace = told.pace;
  atService = Date.parse(told.now) + ((atHere - sent) / 2) * pace;
}

// A tablet that slept, or whose own clock was set meanwhile, asks again.
export function keepClock(bar) {
  const again = () => setClock(bar).catch(() => {});
  setInterval(again, RESET_MS);
  document.addEventListener("visibilitychange", () => document.hidden || again());
}

export function minutesAndSeconds(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

export function timeOfDay(milliseconds, timezone, withSeconds = false) {
  const parts = { hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: timezone };
  if (withSeconds) parts.second = "2-digit";
  return new Intl.DateTimeFormat("en-GB", parts).format(milliseconds);
}
