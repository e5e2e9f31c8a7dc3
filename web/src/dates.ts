/** A moment as one says it: "today at 14:05", "18 November". The maker's own clock and calendar words. */
export function when(at: string): string {
  const moment = new Date(at);
  if (Number.isNaN(moment.getTime())) return at;
  const now = new Date();
  const time = moment.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  if (moment.toDateString() === now.toDateString()) return `today at ${time}`;
  const yesterday = new Date(now);
  yesterday.setDate(now.getDate() - 1);
  if (moment.toDateString() === yesterday.toDateString()) return `yesterday at ${time}`;
  const day = moment.toLocaleDateString("en-GB", { day: "numeric", month: "long", ...(moment.getFullYear() !== now.getFullYear() ? { year: "numeric" } : {}) });
  return `${day} at ${time}`;
}

/** Today as a plain day: "2026-03-09". */
export function today(): string {
  const now = new Date();
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
