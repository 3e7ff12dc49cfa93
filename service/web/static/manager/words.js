// Numbers and times as a manager says them.

export const signed = (value, digits = 1) => value.toFixed(digits).replace("-", "−");
export const minutes = (seconds, digits = 1) => `${signed(seconds / 60, digits)} min`;
export const percent = (share) => `${Math.round(share * 100)}%`;
export const plural = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;

// Of fewer nights an interval is so wide that it would only confuse.
export const FEW_NIGHTS = 5;

// An interval as mean and half width; few nights have none.
export const halfWidth = ({ low, high, nights }) => (low === null || high === null || low === undefined || nights < FEW_NIGHTS ? null : (high - low) / 2);

export function minutesWithin(interval) {
  const half = halfWidth(interval);
  return half === null ? minutes(interval.mean) : `${signed(interval.mean / 60)} ± ${(half / 60).toFixed(1)} min`;
}

export function percentWithin(interval) {
  const half = halfWidth(interval);
  return half === null ? percent(interval.mean) : `${Math.round(interval.mean * 100)} ± ${Math.max(1, Math.round(half * 100))}%`;
}

export const dayOf = (time, timezone) =>
  new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: timezone }).format(new Date(time));

export const longDay = (day) =>
  new Intl.DateTimeFormat("en-GB", { weekday: "long", day: "numeric", month: "long", year: "numeric", timeZone: "UTC" }).format(new Date(`${day}T00:00:00Z`));

export const listed = (words) => (words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`);

export function duration(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 90) return `${whole} s`;
  return `${Math.round(whole / 60)} min`;
}
