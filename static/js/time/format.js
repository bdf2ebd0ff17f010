// How times are written: pure functions from milliseconds to words.
//
// Under one hour m:ss, from one hour on h:mm with the unit, so that "1:12" is never read two ways.

const SECOND = 1_000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;
const two = (number) => String(number).padStart(2, "0");

/** A length of time that has passed: "8:12", from one hour on "1:02 h". */
export function span(millis) {
  const whole = Math.max(0, Math.floor(millis / SECOND)) * SECOND;
  if (whole >= HOUR) return `${Math.floor(whole / HOUR)}:${two(Math.floor((whole % HOUR) / MINUTE))} h`;
  return `${Math.floor(whole / MINUTE)}:${two((whole % MINUTE) / SECOND)}`;
}

/** A countdown with `millis` left: "4:30", "now" as it falls due, "2:05 late" afterwards. */
export function countdown(millis) {
  if (millis > 0) return span(Math.ceil(millis / SECOND) * SECOND);
  return -millis < SECOND ? "now" : `${span(-millis)} late`;
}

/** How long ago, in words: "just now", "4 min ago", "1 h 12 min ago". */
export function age(millis) {
  return millis < MINUTE ? "just now" : `${roughly(millis)} ago`;
}

/** A length of time in words: "40 s", "4 min", "1 h 12 min". */
export function roughly(millis) {
  const seconds = Math.max(0, Math.floor(millis / SECOND));
  if (seconds < 60) return `${seconds} s`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return `${minutes} min`;
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

/** The share of a countdown that is left, 0 to 1. */
export function shareLeft(start, due, now) {
  if (!(due > start)) return due > now ? 1 : 0;
  return Math.min(1, Math.max(0, (due - now) / (due - start)));
}

/** Local 24-hour time of day, "14:03"; with seconds "14:03:09". */
export function hour(millis, withSeconds = false) {
  const date = new Date(millis);
  if (Number.isNaN(date.getTime())) return "";
  const minutes = `${two(date.getHours())}:${two(date.getMinutes())}`;
  return withSeconds ? `${minutes}:${two(date.getSeconds())}` : minutes;
}

const DAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const DAY = 24 * HOUR;

/** The time of day, and the day where it is not today's: "14:03", "Tue 14:03", from six days off "3 Nov 14:03". */
export function dayHour(millis, now) {
  const date = new Date(millis);
  const time = hour(millis);
  if (time === "" || Number.isNaN(now) || date.toDateString() === new Date(now).toDateString()) return time;
  if (Math.abs(now - millis) < 6 * DAY) return `${DAYS[date.getDay()]} ${time}`;
  return `${date.getDate()} ${MONTHS[date.getMonth()]} ${time}`;
}

/** The latest moment not after `now` at which local clocks showed "HH:MM"; null when the text is no such time. */
export function lastTimeAt(text, now) {
  const match = /^\s*([01]?\d|2[0-3])[:.]?([0-5]\d)\s*$/.exec(text);
  if (!match) return null;
  const date = new Date(now);
  date.setHours(Number(match[1]), Number(match[2]), 0, 0);
  if (date.getTime() > now) date.setDate(date.getDate() - 1);
  return date.getTime();
}
