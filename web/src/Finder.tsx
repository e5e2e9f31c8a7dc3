// Finding jobs by the words in them: names, notes, the customer, woods, and what was noted of the work.
import { For, Show, createSignal, onCleanup } from "solid-js";
import { when } from "./dates";
import type { FoundJobs } from "./protocol";
import { Fault, server } from "./server";

/** Typing has paused for so long. */
const pause_ms = 200;

export function Finder() {
  const [words, setWords] = createSignal("");
  const [found, setFound] = createSignal<FoundJobs | null>(null);
  const [fault, setFault] = createSignal("");
  let turn = 0;
  let timer: number | undefined;
  onCleanup(() => clearTimeout(timer));

  async function look(): Promise<void> {
    const mine = ++turn;
    const asked = words().trim();
    if (asked === "") {
      setFound(null);
      setFault("");
      return;
    }
    try {
      const answer = await server.search(asked);
      if (mine !== turn) return;
      setFound(answer);
      setFault("");
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      if (mine === turn) setFault(`${error.says} ${error.remedy}`.trim());
    }
  }
  function typed(value: string): void {
    setWords(value);
    clearTimeout(timer);
    timer = setTimeout(() => void look(), pause_ms);
  }
  const counted = (): string => {
    const list = found();
    if (!list || words().trim() === "") return "";
    const jobs = list.jobs.length + list.more;
    return jobs === 0 ? "Found in no job." : jobs === 1 ? "Found in one job." : `Found in ${jobs} jobs${list.more > 0 ? `; the newest ${list.jobs.length} are shown` : ""}.`;
  };

  return (
    <search class="finder">
      <form
        onSubmit={(e) => {
          e.preventDefault();
          clearTimeout(timer);
          void look();
        }}
      >
        <label>
          Find in all jobs{" "}
          <input
            type="search"
            autocomplete="off"
            spellcheck={false}
            maxLength={120}
            value={words()}
            onInput={(e) => typed(e.currentTarget.value)}
            onKeyDown={(e) => {
              if (e.key !== "Escape") return;
              e.preventDefault();
              typed("");
              void look();
            }}
          />
        </label>
        <span class="aside">a customer, a wood, a word of a note</span>
      </form>
      <Show when={fault()}>
        <p class="told" role="alert">
          {fault()}
        </p>
      </Show>
      <p role="status" class="count">
        {counted()}
      </p>
      <Show when={words().trim() !== "" && (found()?.jobs.length ?? 0) > 0}>
        <ul class="found" aria-label="Jobs found">
          <For each={found()?.jobs}>
            {(job) => (
              <li>
                <a class="name" href={`#/job/${job.id}`}>
                  {job.name || "Without a name"}
                </a>{" "}
                <time dateTime={job.changed}>{when(job.changed)}</time>
                <dl>
                  <For each={job.hits}>
                    {(hit) => (
                      <>
                        <dt>{hit.place}</dt>
                        <dd>
                          <For each={hit.parts}>{(part) => <Show when={part.found} fallback={part.text}>{<mark>{part.text}</mark>}</Show>}</For>
                        </dd>
                      </>
                    )}
                  </For>
                </dl>
                <Show when={job.more > 0}>
                  <p class="aside">and in {job.more === 1 ? "one other place" : `${job.more} other places`}</p>
                </Show>
              </li>
            )}
          </For>
        </ul>
      </Show>
    </search>
  );
}
