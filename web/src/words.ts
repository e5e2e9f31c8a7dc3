// Setting the words of the program into sentences.
import type { Problem } from "./protocol";

/** Begins with a capital and ends with a stop. */
export function sentence(text: string): string {
  const trimmed = text.trim();
  if (trimmed === "") return "";
  const first = trimmed.charAt(0).toUpperCase() + trimmed.slice(1);
  return /[.!?:…]$/.test(first) ? first : `${first}.`;
}

/** What was found, what is allowed and what to do, in one go. */
export const told = (problem: Problem): string =>
  [sentence(problem.found), problem.allowed ? `Wanted: ${sentence(problem.allowed).replace(/^./, (c) => c.toLowerCase())}` : "", sentence(problem.remedy)].filter(Boolean).join(" ");
