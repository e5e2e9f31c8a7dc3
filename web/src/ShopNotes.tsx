// What was done and measured, noted beside the work: each step in its order, and what the notes tell.
import { Index, Show, createSignal, createUniqueId } from "solid-js";
import "./styles/notes.css";
import { today } from "./dates";
import type { Edit, Field, MadeNote, MadeStep, MadeView, Problem } from "./protocol";
import { Fault, server } from "./server";
import { told } from "./words";

type Send = (edits: Edit[], notes: boolean) => Promise<Problem | null>;

export function ShopNotes(props: { job: number; view: MadeView; take: (view: MadeView) => void; trouble: (says: string) => void }) {
  const [busy, setBusy] = createSignal(false);
  const [open, setOpen] = createSignal<ReadonlySet<string>>(new Set(props.view.steps.filter((step) => step.next).map((step) => step.id)));

  async function safely<T>(what: () => Promise<T>): Promise<T | null> {
    setBusy(true);
    props.trouble("");
    try {
      return await what();
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      props.trouble(`${error.says} ${error.remedy}`.trim());
      // What stands here may be out of date.
      if (error.status === 409) props.take(await server.made(props.job));
      return null;
    } finally {
      setBusy(false);
    }
  }
  const lost: Problem = { weight: "error", pointer: "", found: "it was not written down", allowed: "", remedy: "what to do stands above" };
  const send: Send = async (edits, notes) => {
    const change = { base: props.view.version, edits };
    const answer = await safely(async () => {
      if (notes) {
        const written = await server.note(props.job, change);
        if ("problems" in written) return written.problems[0] ?? lost;
        props.take(written);
        return true;
      }
      const changed = await server.change(props.job, change);
      if (changed.kind === "refused") return changed.refused.problems[0] ?? lost;
      if (changed.kind === "overtaken") props.trouble("The job was changed elsewhere meanwhile. Look at what stands here now.");
      props.take(await server.made(props.job));
      return true;
    });
    return answer === true ? null : (answer ?? lost);
  };
  const undo = (): void =>
    void safely(async () => {
      await server.undo(props.job, props.view.version);
      props.take(await server.made(props.job));
    });
  function fold(id: string, on: boolean): void {
    const next = new Set(open());
    if (on) next.add(id);
    else next.delete(id);
    setOpen(next);
  }

  return (
    <div class="notes" aria-busy={busy()}>
      <Show when={props.view.lacks}>
        <p class="trouble">{props.view.lacks}</p>
      </Show>
      <p class="progress" role="status">
        <Show when={props.view.steps.length > 0}>
          <meter min="0" max={props.view.steps.length} value={props.view.done} aria-label="Steps done" />
        </Show>
        {props.view.progress}
      </p>
      <Show when={props.view.undo}>
        <p>
          <button type="button" class="quiet" onClick={undo}>
            Take back: {props.view.undo}
          </button>
        </p>
      </Show>
      <h2>Step by step</h2>
      <ol class="work">
        <Index each={props.view.steps}>
          {(step) => (
            <li classList={{ done: step().done, next: step().next }}>
              <details open={open().has(step().id)} onToggle={(e) => fold(step().id, e.currentTarget.open)}>
                <summary>
                  <span class="mark" aria-hidden="true">
                    {step().done ? "✓" : step().next ? "→" : ""}
                  </span>
                  <span class="name">
                    {step().name}
                    <span class="unseen">{step().done ? ", done" : step().next ? ", next" : ""}</span>
                  </span>
                  <span class="tells">{step().done ? noted(step()) : step().tells}</span>
                </summary>
                <div class="box">
                  <Index each={step().notes}>{(note) => <Note note={note()} send={send} />}</Index>
                  <NewNote step={step()} send={send} />
                </div>
              </details>
            </li>
          )}
        </Index>
      </ol>
      <Show when={props.view.strangers.length > 0}>
        <section aria-label="Notes about other steps">
          <h2>Notes about steps that the plan does not have</h2>
          <Index each={props.view.strangers}>
            {(note) => (
              <div class="box">
                <h3>{note().step}</h3>
                <Note note={note()} send={send} />
              </div>
            )}
          </Index>
        </section>
      </Show>
      <Learning view={props.view} send={send} />
    </div>
  );
}

/** The hours as they stand in the notes: one or several. */
function noted(step: MadeStep): string {
  const hours = step.notes.map((note) => note.fields.find((each) => each.field.pointer.endsWith("/hours"))?.field.value ?? "").filter((value) => value !== "");
  return hours.length > 0 ? `${hours.join(" + ")} h` : "done";
}

function Note(props: { note: MadeNote; send: Send }) {
  const [refused, setRefused] = createSignal<Problem | null>(null);
  const set = async (field: Field, value: string): Promise<void> => {
    if (value === field.value) {
      setRefused(null);
      return;
    }
    const trimmed = value.trim();
    setRefused(await props.send([{ set: field.pointer, value: trimmed === "" && field.kind !== "text" ? null : trimmed }], true));
  };
  return (
    <div class="note">
      <div class="fields">
        <label>
          <span>done on</span>
          <input type="date" value={props.note.on.value} aria-label={props.note.on.label} onChange={(e) => void set(props.note.on, e.currentTarget.value)} />
        </label>
        <Index each={props.note.fields}>
          {(each) => (
            <label>
              <span>{each().says}</span>
              <input
                type="text"
                inputmode="decimal"
                autocomplete="off"
                value={each().field.value}
                aria-label={each().field.label}
                onChange={(e) => void set(each().field, e.currentTarget.value)}
              />
            </label>
          )}
        </Index>
        <label class="words">
          <span>note</span>
          <textarea rows="2" value={props.note.words.value} aria-label={props.note.words.label} onChange={(e) => void set(props.note.words, e.currentTarget.value)} />
        </label>
      </div>
      <Refusal problem={refused()} />
      <Index each={props.note.tells}>{(line) => <p class="says">{line()}</p>}</Index>
      <Index each={props.note.cautions}>{(line) => <p class="caution">{line()}</p>}</Index>
      <p>
        <button type="button" class="quiet" onClick={() => void props.send([{ remove: props.note.pointer }], true).then(setRefused)}>
          Take this note away<span class="unseen">: {props.note.on.label}</span>
        </button>
      </p>
    </div>
  );
}

function NewNote(props: { step: MadeStep; send: Send }) {
  const [refused, setRefused] = createSignal<Problem | null>(null);
  let form!: HTMLFormElement;
  async function submit(e: SubmitEvent): Promise<void> {
    e.preventDefault();
    const value: Record<string, string> = { step: props.step.id };
    for (const [key, entry] of new FormData(form)) if (typeof entry === "string" && entry.trim() !== "") value[key] = entry.trim();
    const problem = await props.send([{ insert: "/made/-", value }], true);
    setRefused(problem);
    if (!problem) form.reset();
  }
  const name = createUniqueId();
  return (
    <form class="new" ref={form} onSubmit={(e) => void submit(e)} aria-labelledby={name}>
      <h3 id={name}>
        {props.step.done ? "Another note" : "Note it as done"}
        <span class="unseen">: {props.step.name}</span>
      </h3>
      <Show when={props.step.measure.length > 0}>
        <p class="aside">To write down: {props.step.measure.join("; ")}.</p>
      </Show>
      <div class="fields">
        <label>
          <span>done on</span>
          <input type="date" name="on" required value={today()} />
        </label>
        <Index each={props.step.wants}>
          {(want) => (
            <label>
              <span>
                {want().says}
                {want().unit ? `, ${want().unit}` : ""}
              </span>
              <input type="text" inputmode="decimal" autocomplete="off" name={want().key} />
            </label>
          )}
        </Index>
        <label class="words">
          <span>note</span>
          <textarea rows="2" name="note" />
        </label>
      </div>
      <Refusal problem={refused()} />
      <p>
        <button type="submit" class="main">
          Note it
        </button>
      </p>
    </form>
  );
}

function Refusal(props: { problem: Problem | null }) {
  return (
    <Show when={props.problem}>
      {(problem) => (
        <p class="trouble" role="alert">
          {told(problem())}
        </p>
      )}
    </Show>
  );
}

function Learning(props: { view: MadeView; send: Send }) {
  const [refused, setRefused] = createSignal<Problem | null>(null);
  const press = (edits: Edit[]): void => void props.send(edits, false).then(setRefused);
  const empty = () => props.view.learnt.length === 0 && props.view.keep === "" && props.view.kept.length === 0;
  return (
    <Show when={!empty()}>
      <section class="learning" aria-label="What is learnt">
        <Index each={props.view.learnt}>
          {(part) => (
            <>
              <h2>{part().title}</h2>
              <Index each={part().lines}>{(line) => <p>{line()}</p>}</Index>
            </>
          )}
        </Index>
        <Index each={props.view.sizes}>
          {(size) => (
            <p>
              <button type="button" onClick={() => press(size().edits)}>
                {size().says}
              </button>
            </p>
          )}
        </Index>
        <Show when={props.view.keep || props.view.kept_says}>
          <h2>For the next jobs</h2>
        </Show>
        <Show when={props.view.keep}>
          <p>Hours, gaps, offsets and litres of this job can go on the shelf; the minutes, the amounts of finish and the sizes of other jobs are then told by them.</p>
          <p>
            <button type="button" class="main" onClick={() => press([{ keep_record: true }])}>
              {props.view.keep}
            </button>
          </p>
        </Show>
        <Show when={props.view.kept_says}>
          <p role="status">{props.view.kept_says}</p>
        </Show>
        <Refusal problem={refused()} />
        <Show when={props.view.kept.length > 0}>
          <details>
            <summary>Kept of this job ({props.view.kept.length})</summary>
            <ul>
              <Index each={props.view.kept}>
                {(record) => (
                  <li>
                    {record().says}{" "}
                    <button type="button" class="quiet" onClick={() => press([{ remove: record().pointer }])}>
                      Take away<span class="unseen">: {record().says}</span>
                    </button>
                  </li>
                )}
              </Index>
            </ul>
          </details>
        </Show>
      </section>
    </Show>
  );
}
