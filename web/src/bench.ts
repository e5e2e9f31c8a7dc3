// The job on the bench: what the program last said about it, and the one way to change it.
//
// `picture` is the newest screen, tried ones during a drag included; `settled` is the newest saved one. Drawing, strip and
// problems follow the picture; cards, chains, shelf and papers, which a tried screen leaves out, follow the settled one.
//
// Changes are sent one after the other, each on the version that the one before left. Attempts follow the newest-wins
// rule: one is under way, at most one waits, and a newer one takes the place of the one that waits.
import { batch, createSignal } from "solid-js";
import type { Edit, Problem, Screen } from "./protocol";
import { Fault, server, type Answer } from "./server";
import { sentence, told } from "./words";
import { frameApplied, type FrameStart } from "./frames";

const [picture, setPicture] = createSignal<Screen | null>(null);
const [settled, setSettled] = createSignal<Screen | null>(null);
/** A job lies on the bench. When it is taken off, picture and settled keep the last one: what still draws it is not upset. */
const [present, setPresent] = createSignal(false);
/** Why the last change was not taken, until the next one is. */
const [refusal, setRefusal] = createSignal<{ problems: Problem[]; edits: Edit[] } | null>(null);
/** What another window changed, with our own change when it was refused for that. */
const [overtaken, setOvertaken] = createSignal<{ says: string; again: (() => void) | null } | null>(null);
const [fault, setFault] = createSignal<Fault | null>(null);
/** Changes that are on their way to the store. */
const [saving, setSaving] = createSignal(0);
/** Said aloud by screen readers. */
const [spoken, setSpoken] = createSignal("");

/** Edits whose refusal is told at the field they came from, and needs no other notice. */
export const toldAtField = new WeakSet<Edit[]>();

export { picture, settled, present, refusal, overtaken, fault, saving, spoken };
export const dismissRefusal = (): void => void setRefusal(null);
export const dismissOvertaken = (): void => void setOvertaken(null);
export const dismissFault = (): void => void setFault(null);

/** Says something to whoever listens to the page instead of looking at it. */
export function say(text: string): void {
  // The same words twice are only read again when the text changes in between.
  setSpoken((before) => (before === text ? `${text}\u00a0` : text));
}

let generation = 0; // grows when a change is made or another job is opened: answers to older attempts are stale
let opening = 0; // grows when a job is opened or closed: a slower answer for another one is stale
let last: Promise<unknown> = Promise.resolve();

function take(screen: Screen): void {
  batch(() => {
    setSettled(screen);
    setPicture(screen);
  });
}

/** Puts a job on the bench. */
export async function open(id: number): Promise<boolean> {
  generation += 1;
  opening += 1;
  const mine = opening;
  try {
    const screen = await server.screen(id);
    if (mine !== opening) return false;
    batch(() => {
      setRefusal(null);
      setOvertaken(null);
      setFault(null);
      take(screen);
      setPresent(true);
    });
    return true;
  } catch (error) {
    if (error instanceof Fault) setFault(error);
    else throw error;
    return false;
  }
}

/** Clears the bench. */
export function close(): void {
  generation += 1;
  opening += 1;
  batch(() => {
    setPresent(false);
    setRefusal(null);
    setOvertaken(null);
  });
}

// ------------------------------------------------------------------------------------------------ attempts

/** Tells which seam's strip is shown; choice.ts knows. */
let looksAt: () => number = () => 0;
export const askLooksAt = (tells: () => number): void => void (looksAt = tells);

let underWay = false;
let waiting: { edits: Edit[]; start: FrameStart } | null = null;

/**
 * An attempt answered within this time is waited for, so that the picture belongs to the frame in which the pointer moved; the
 * rest of a frame of 16.7 ms is for laying out and painting. A slower one is not: the page stays at the maker's hand.
 */
const part_of_frame_ms = 9;
let slowness_ms = Infinity; // of the last attempts, from asking to answer: a single slow one counts less each time

function took(asked_ms: number): void {
  const now_ms = performance.now() - asked_ms;
  slowness_ms = slowness_ms === Infinity ? now_ms : 0.7 * slowness_ms + 0.3 * now_ms;
}

/** Shows what the edits would do, without saving. The newest wins. */
export function attempt(edits: Edit[], start: FrameStart): void {
  waiting = { edits, start };
  if (underWay) return;
  if (slowness_ms <= part_of_frame_ms) attemptNow();
  else void nextAttempt();
}

function show(answer: Answer, edits: Edit[], start: FrameStart): void {
  if (answer.kind === "screen") {
    batch(() => {
      setRefusal(null);
      setPicture(answer.screen);
    });
    frameApplied(start, answer.screen.engine_us);
  } else if (answer.kind === "refused") {
    setRefusal({ problems: answer.refused.problems, edits });
  }
}

function failed(error: unknown): void {
  if (error instanceof Fault) setFault(error);
  else throw error;
}

function attemptNow(): void {
  const base = settled();
  const now = waiting;
  waiting = null;
  if (!now || !base || !present()) return;
  try {
    const asked_ms = performance.now();
    const answer = server.attemptNow(base.id, { base: base.version, edits: now.edits, looks_at: looksAt() });
    took(asked_ms);
    show(answer, now.edits, now.start);
  } catch (error) {
    failed(error);
  }
}

async function nextAttempt(): Promise<void> {
  underWay = true;
  try {
    while (waiting) {
      const { edits, start } = waiting;
      waiting = null;
      const base = settled();
      const mine = generation;
      if (!base || !present()) return;
      const asked_ms = performance.now();
      const answer = await server.attempt(base.id, { base: base.version, edits, looks_at: looksAt() });
      took(asked_ms);
      if (mine === generation) show(answer, edits, start);
    }
  } catch (error) {
    failed(error);
  } finally {
    underWay = false;
  }
}

/** Takes an attempt back: the picture is again what is saved. */
export function forgetAttempt(): void {
  generation += 1;
  waiting = null;
  batch(() => {
    setRefusal(null);
    setPicture(settled());
  });
}

// ------------------------------------------------------------------------------------------------ changes

type Send = (screen: Screen) => Promise<Answer>;

function send(what: Send, edits: Edit[], done?: (screen: Screen) => void): Promise<boolean> {
  // A field that is taken off the page loses the focus, and would send what stood in it.
  if (!present()) return Promise.resolve(false);
  generation += 1;
  waiting = null;
  setSaving((n) => n + 1);
  const turn = last.then(async () => {
    const before = settled();
    if (!before || !present()) return false;
    const mine = generation;
    try {
      const answer = await what(before);
      if (settled()?.id !== before.id) return false;
      batch(() => {
        if (answer.kind === "screen") {
          setRefusal(null);
          setFault(null);
          setSettled(answer.screen);
          // A drag that began since then keeps its own newer picture.
          if (mine === generation) setPicture(answer.screen);
        } else if (answer.kind === "overtaken") {
          take(answer.overtaken.screen);
          setOvertaken({ says: fromOther(answer.overtaken.says), again: () => void send(what, edits, done) });
          say(fromOther(answer.overtaken.says));
        } else {
          setPicture(settled());
          setRefusal({ problems: answer.refused.problems, edits });
          say(answer.refused.problems.map(told).join(" "));
        }
      });
      if (answer.kind === "screen") {
        done?.(answer.screen);
        return true;
      }
      return false;
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      batch(() => {
        setPicture(settled());
        setFault(error);
      });
      return false;
    } finally {
      setSaving((n) => n - 1);
    }
  });
  last = turn.catch(() => undefined);
  return turn;
}

/** Makes a change and saves it. True when it was taken. */
export function change(edits: Edit[], done?: (screen: Screen) => void): Promise<boolean> {
  return send((screen) => server.change(screen.id, { base: screen.version, edits }), edits, done);
}

/** A place from which changes are made, and at which it is told when one of them is refused. */
export function changesFromHere() {
  const [sent, setSent] = createSignal<Edit[] | null>(null);
  return {
    refused: (): Problem | undefined => (refusal()?.edits === sent() ? refusal()?.problems[0] : undefined),
    make(edits: Edit[], done?: (screen: Screen) => void): Promise<boolean> {
      setSent(edits);
      toldAtField.add(edits);
      return change(edits, done);
    },
  };
}

export function undo(): Promise<boolean> {
  const what = settled()?.undo;
  if (!what) return Promise.resolve(false);
  return send((screen) => server.undo(screen.id, screen.version), [], () => say(`Taken back: ${what}`));
}
export function redo(): Promise<boolean> {
  const what = settled()?.redo;
  if (!what) return Promise.resolve(false);
  return send((screen) => server.redo(screen.id, screen.version), [], () => say(`Done again: ${what}`));
}
export function backTo(changeNumber: number): Promise<boolean> {
  return send((screen) => server.backTo(screen.id, screen.version, changeNumber), []);
}

// Arrow keys may come faster than answers: steps of the same handle that still wait are sent as one.
let nudges: { id: string; size: "fine" | "rule" | "coarse"; steps: [number, number] } | null = null;

export function nudge(id: string, steps: [number, number], size: "fine" | "rule" | "coarse"): void {
  if (nudges && nudges.id === id && nudges.size === size) {
    nudges.steps = [nudges.steps[0] + steps[0], nudges.steps[1] + steps[1]];
    return;
  }
  const mine = { id, size, steps };
  nudges = mine;
  void last.then(() => {
    if (nudges === mine) nudges = null;
    void change([{ nudge: mine.id, steps: mine.steps, size: mine.size }], (screen) => {
      const handle = handleById(screen, mine.id);
      if (handle) say(`${handle.name}: ${handle.value}`);
    });
  });
}

export function handleById(screen: Screen, id: string) {
  for (const seam of screen.seams) for (const handle of seam.handles) if (handle.id === id) return handle;
  return screen.drawing.outline_handles.find((handle) => handle.id === id);
}

// ------------------------------------------------------------------------------------------------ the other window

function fromOther(says: string): string {
  if (/another window/i.test(says)) return sentence(says);
  return says === "" ? "Changed in another window." : sentence(`Changed in another window: ${says.charAt(0).toLowerCase()}${says.slice(1)}`);
}

/** Looks whether another window changed the job; renews the screen when it did. */
export async function lookForChanges(): Promise<void> {
  const mine = settled();
  if (!mine || !present() || saving() > 0 || underWay) return;
  try {
    const { version } = await server.version(mine.id);
    const stillMine = (): boolean => settled()?.id === mine.id && settled()?.version === mine.version && saving() === 0 && !underWay;
    if (version === mine.version || !stillMine()) return;
    const [screen, history] = await Promise.all([server.screen(mine.id), server.history(mine.id)]);
    if (!stillMine()) return;
    const newest = history.find((line) => line.current) ?? history[0];
    const says = fromOther(newest?.says ?? "");
    batch(() => {
      take(screen);
      setOvertaken({ says, again: null });
    });
    say(says);
  } catch {
    // Not answering now is told when something is to be saved; the next look comes in two seconds.
  }
}

export function watchOtherWindows(): void {
  const look = (): void => {
    if (document.visibilityState === "visible") void lookForChanges();
  };
  setInterval(look, 2000);
  addEventListener("focus", look);
  document.addEventListener("visibilitychange", look);
}
