// Talking to the program that serves this page. Every answer is either what was asked for or a Fault.
import type { Attempt, Change, HistoryLine, JobList, NewJob, Overtaken, Refused, Screen, ShopView } from "./protocol";

/** Something that went wrong and was said in words. */
export class Fault extends Error {
  constructor(
    readonly says: string,
    readonly remedy: string,
    readonly status: number,
  ) {
    super(says);
  }
}

export type Answer =
  | { kind: "screen"; screen: Screen }
  | { kind: "refused"; refused: Refused }
  | { kind: "overtaken"; overtaken: Overtaken };

async function ask(method: "GET" | "POST", address: string, body?: unknown): Promise<Response> {
  try {
    return await fetch(address, {
      method,
      ...(method === "POST" ? { headers: { "Content-Type": "application/json" }, body: JSON.stringify(body ?? {}) } : {}),
      cache: "no-store",
    });
  } catch {
    throw new Fault("The program does not answer.", "Is it still running? Start it again with ./run; what was saved is safe.", 0);
  }
}

async function fault(response: Response): Promise<Fault> {
  let says = `The program answered ${response.status}.`;
  let remedy = "";
  try {
    const told = (await response.json()) as { says?: string; remedy?: string };
    if (told.says) says = told.says;
    if (told.remedy) remedy = told.remedy;
  } catch {
    // An answer without words keeps the number.
  }
  return new Fault(says, remedy, response.status);
}

async function get<T>(address: string): Promise<T> {
  const response = await ask("GET", address);
  if (!response.ok) throw await fault(response);
  return (await response.json()) as T;
}

async function post<T>(address: string, body?: unknown): Promise<T> {
  const response = await ask("POST", address, body);
  if (!response.ok) throw await fault(response);
  return (await response.json()) as T;
}

async function answer(address: string, body: unknown): Promise<Answer> {
  const response = await ask("POST", address, body);
  if (response.ok) return { kind: "screen", screen: (await response.json()) as Screen };
  if (response.status === 409) return { kind: "overtaken", overtaken: (await response.json()) as Overtaken };
  if (response.status === 422) {
    const told = (await response.json()) as Refused & { says?: string; remedy?: string };
    if (Array.isArray(told.problems)) return { kind: "refused", refused: told };
    throw new Fault(told.says ?? "That cannot be done.", told.remedy ?? "", 422);
  }
  throw await fault(response);
}

const job = (id: number): string => `/api/jobs/${id}`;

export const server = {
  jobs: () => get<JobList>("/api/jobs"),
  screen: (id: number) => get<Screen>(job(id)),
  version: (id: number) => get<{ version: number }>(`${job(id)}/version`),
  history: (id: number) => get<HistoryLine[]>(`${job(id)}/history`),
  shop: (id: number) => get<ShopView>(`${job(id)}/shop`),
  attempt: (id: number, attempt: Attempt) => answer(`${job(id)}/try`, attempt),
  change: (id: number, change: Change) => answer(`${job(id)}/edit`, change),
  undo: (id: number, base: number) => answer(`${job(id)}/undo`, { base }),
  redo: (id: number, base: number) => answer(`${job(id)}/redo`, { base }),
  backTo: (id: number, base: number, change: number) => answer(`${job(id)}/return`, { base, change }),
  duplicate: (id: number) => post<{ id: number }>(`${job(id)}/duplicate`),
  remove: (id: number) => post<JobList>(`${job(id)}/delete`),
  restore: (id: number) => post<JobList>(`${job(id)}/restore`),
  /** A new job; a refused document comes back with its problems. */
  async begin(wanted: NewJob): Promise<{ id: number } | Refused> {
    const response = await ask("POST", "/api/jobs", wanted);
    if (response.ok) return (await response.json()) as { id: number };
    if (response.status === 422) return (await response.json()) as Refused;
    throw await fault(response);
  },
  paperAddress: (id: number, name: string) => `${job(id)}/papers/${encodeURIComponent(name)}`,
  exportAddress: (id: number) => `${job(id)}/export`,
};
