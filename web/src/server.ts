// Talking to the program that serves this page. Every answer is either what was asked for or a Fault.
import type { Attempt, BoardPhotoView, BoardPhotoWish, Change, ClosingView, FeedView, FoundJobs, HistoryLine, JobList, MadeView, NewJob, Overtaken, Refused, Screen, ShopView, TraceView, TraceWish, WoodView, WorkView } from "./protocol";

/** Something that went wrong and was said in words. */
export class Fault extends Error {
  constructor(
    readonly says: string,
    readonly remedy: string,
    readonly status: number,
    /** A place in a picture, where it is at one. */
    readonly at?: [x: number, y: number],
  ) {
    super(says);
  }
}

export type Answer =
  | { kind: "screen"; screen: Screen }
  | { kind: "refused"; refused: Refused }
  | { kind: "overtaken"; overtaken: Overtaken };

const gone = (): Fault =>
  new Fault("The program does not answer.", "Is it still running? Start it again with ./run; what was saved is safe.", 0);

async function ask(method: "GET" | "POST", address: string, body?: unknown): Promise<Response> {
  try {
    return await fetch(address, {
      method,
      ...(method === "POST" ? { headers: { "Content-Type": "application/json" }, body: JSON.stringify(body ?? {}) } : {}),
      cache: "no-store",
    });
  } catch {
    throw gone();
  }
}

function fault(status: number, body: () => unknown): Fault {
  try {
    const told = body() as { says?: string; remedy?: string; at?: [number, number] };
    if (told.says) return new Fault(told.says, told.remedy ?? "", status, told.at);
  } catch {
    // An answer without words keeps the number.
  }
  return new Fault(`The program answered ${status}.`, "", status);
}

/** The fault of a response that was not asked for in parts. */
async function faultOf(response: Response): Promise<Fault> {
  const text = await response.text();
  return fault(response.status, () => JSON.parse(text) as unknown);
}

async function get<T>(address: string): Promise<T> {
  const response = await ask("GET", address);
  if (!response.ok) throw await faultOf(response);
  return (await response.json()) as T;
}

async function post<T>(address: string, body?: unknown): Promise<T> {
  const response = await ask("POST", address, body);
  if (!response.ok) throw await faultOf(response);
  return (await response.json()) as T;
}

function answerIn(status: number, body: () => unknown): Answer {
  if (status >= 200 && status < 300) return { kind: "screen", screen: body() as Screen };
  if (status === 409) return { kind: "overtaken", overtaken: body() as Overtaken };
  if (status === 422) {
    const told = body() as Refused;
    if (Array.isArray(told.problems)) return { kind: "refused", refused: told };
  }
  throw fault(status, body);
}

async function answer(address: string, body: unknown): Promise<Answer> {
  const response = await ask("POST", address, body);
  const text = await response.text();
  return answerIn(response.status, () => JSON.parse(text) as unknown);
}

/**
 * The same, waited for: the browser does nothing else meanwhile, and the answer belongs to the frame it was asked in. Only
 * for answers known to be quick; `fetch` cannot answer before the next frame.
 */
function answerNow(address: string, body: unknown): Answer {
  const request = new XMLHttpRequest();
  request.open("POST", address, false);
  request.setRequestHeader("Content-Type", "application/json");
  try {
    request.send(JSON.stringify(body));
  } catch {
    throw gone();
  }
  return answerIn(request.status, () => JSON.parse(request.responseText) as unknown);
}

async function sendPictures(address: string, wish: object, parts: BlobPart[]): Promise<unknown> {
  let response: Response;
  try {
    response = await fetch(`${address}?wish=${encodeURIComponent(JSON.stringify(wish))}`, {
      method: "POST",
      headers: { "Content-Type": "application/octet-stream" },
      body: new Blob(parts, { type: "application/octet-stream" }),
      cache: "no-store",
    });
  } catch {
    throw gone();
  }
  if (!response.ok) throw await faultOf(response);
  return response.json();
}

const job = (id: number): string => `/api/jobs/${id}`;

export const server = {
  jobs: () => get<JobList>("/api/jobs"),
  screen: (id: number) => get<Screen>(job(id)),
  version: (id: number) => get<{ version: number }>(`${job(id)}/version`),
  history: (id: number) => get<HistoryLine[]>(`${job(id)}/history`),
  closing: (id: number, seam: number) => get<ClosingView>(`${job(id)}/closing/${seam}`),
  feed: (id: number, seam: number) => get<FeedView>(`${job(id)}/feed/${seam}`),
  wood: (id: number) => get<WoodView>(`${job(id)}/wood`),
  work: (id: number) => get<WorkView>(`${job(id)}/work`),
  shop: (id: number) => get<ShopView>(`${job(id)}/shop`),
  made: (id: number) => get<MadeView>(`${job(id)}/made`),
  /** Writes notes of the work; refused ones come back with their problems. */
  async note(id: number, change: Change): Promise<MadeView | Refused> {
    const response = await ask("POST", `${job(id)}/note`, change);
    if (response.ok || response.status === 422) return (await response.json()) as MadeView | Refused;
    throw await faultOf(response);
  },
  search: (words: string) => get<FoundJobs>(`/api/search?find=${encodeURIComponent(words)}`),
  attempt: (id: number, attempt: Attempt) => answer(`${job(id)}/try`, attempt),
  attemptNow: (id: number, attempt: Attempt) => answerNow(`${job(id)}/try`, attempt),
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
    throw await faultOf(response);
  },
  /** Traces pictures; a Fault tells why there is no line, and where. */
  async trace(wish: TraceWish, pictures: Blob[]): Promise<TraceView> {
    const parts: BlobPart[] = [];
    for (const picture of pictures) {
      const length = new DataView(new ArrayBuffer(4));
      length.setUint32(0, picture.size);
      parts.push(length.buffer, picture);
    }
    return (await sendPictures("/api/trace", wish, parts)) as TraceView;
  },
  /** Makes a board's picture of a photo and keeps it; a Fault tells what is wrong with the photo or the corners. */
  boardPhoto: async (wish: BoardPhotoWish, photo: Blob) => (await sendPictures("/api/board-photo", wish, [photo])) as BoardPhotoView,
  boardPictureAddress: (name: string) => `/api/pictures/${encodeURIComponent(name)}`,
  paperAddress: (id: number, name: string) => `${job(id)}/papers/${encodeURIComponent(name)}`,
  exportAddress: (id: number) => `${job(id)}/export`,
};
