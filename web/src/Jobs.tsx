// The jobs of the shop: open, begin, duplicate, put away and fetch back.
import { For, Show, createResource, createSignal } from "solid-js";
import { Fault, server } from "./server";
import { when } from "./dates";
import type { JobList, NewJob, Problem } from "./protocol";
import { switchTheme, theme } from "./theme";
import { say } from "./bench";
import { told } from "./words";
import { Finder } from "./Finder";

export function Jobs() {
  const [list, { mutate, refetch }] = createResource(() => server.jobs());
  const [problem, setProblem] = createSignal<Problem | null>(null);
  const [fault, setFault] = createSignal("");
  const [away, setAway] = createSignal<{ id: number; name: string } | null>(null);
  const [over, setOver] = createSignal(false);

  async function safely(what: () => Promise<void>): Promise<void> {
    setProblem(null);
    setFault("");
    try {
      await what();
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      setFault(`${error.says} ${error.remedy}`);
    }
  }
  const begin = (wanted: NewJob): Promise<void> =>
    safely(async () => {
      const answer = await server.begin(wanted);
      if ("id" in answer) location.hash = `#/job/${answer.id}`;
      else setProblem(answer.problems[0] ?? null);
    });
  const read = (file: File | undefined): void => {
    if (file) void file.text().then((document) => begin({ document }));
  };
  const remove = (job: { id: number; name: string }): Promise<void> =>
    safely(async () => {
      mutate(await server.remove(job.id));
      setAway(job);
      say(`${job.name} put away.`);
    });
  const restore = (id: number): Promise<void> =>
    safely(async () => {
      mutate(await server.restore(id));
      setAway(null);
      say("It is back.");
    });
  const duplicate = (id: number): Promise<void> =>
    safely(async () => {
      await server.duplicate(id);
      await refetch();
    });

  return (
    <div
      class="jobs"
      classList={{ over: over() }}
      onDragOver={(e) => {
        e.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(e) => {
        e.preventDefault();
        setOver(false);
        read(e.dataTransfer?.files[0]);
      }}
    >
      <header class="masthead">
        <h1>Seamwright</h1>
        <span class="motto">tops with curved seams, planned before the first cut</span>
        <span class="acts">
          <button type="button" class="quiet" onClick={switchTheme}>
            {theme() === "dark" ? "Light" : "Dark"}
          </button>
        </span>
      </header>
      <main>
        <section aria-labelledby="begin">
          <h2 id="begin">Begin a job</h2>
          <p class="presses">
            <button type="button" class="main" onClick={() => void begin({ blank: { unit: "mm" } })}>
              A new top in millimetres
            </button>
            <button type="button" class="main" onClick={() => void begin({ blank: { unit: "in" } })}>
              A new top in inches
            </button>
          </p>
          <p class="presses">
            <span>or from an example:</span>
            <button type="button" onClick={() => void begin({ example: "hall-console" })}>
              hall console
            </button>
            <button type="button" onClick={() => void begin({ example: "bench-top" })}>
              bench top
            </button>
            <button type="button" onClick={() => void begin({ example: "round-table" })}>
              round table
            </button>
          </p>
          <p>
            <label class="file">
              or from a job file: <input type="file" accept=".json,application/json" onChange={(e) => read(e.currentTarget.files?.[0])} />
            </label>{" "}
            <span class="aside">You can also drop it anywhere here.</span>
          </p>
          <Show when={problem()}>
            {(p) => (
              <p class="told" role="alert">
                That file cannot be opened. {p().pointer ? `At ${p().pointer}: ` : ""}
                {told(p())}
              </p>
            )}
          </Show>
          <Show when={fault()}>
            <p class="told" role="alert">
              {fault()}
            </p>
          </Show>
        </section>
        <Show when={away()}>
          {(job) => (
            <p class="notice" role="status">
              {job().name} was put away.{" "}
              <button type="button" onClick={() => void restore(job().id)}>
                Put it back
              </button>
            </p>
          )}
        </Show>
        <section aria-labelledby="list">
          <h2 id="list">On the bench</h2>
          <Show when={(list.latest?.jobs.length ?? 0) > 0}>
            <Finder />
          </Show>
          <Show when={(list.latest?.jobs.length ?? 0) > 0} fallback={<p class="none">No jobs yet.</p>}>
            <ul class="ledger">
              <For each={list.latest?.jobs}>
                {(job) => (
                  <li classList={{ last: job.id === list.latest?.last }}>
                    <a class="name" href={`#/job/${job.id}`}>
                      {job.name || "Without a name"}
                    </a>
                    <span class="tells">
                      {job.seams === 0 ? "no seam yet" : job.seams === 1 ? "one seam" : `${job.seams} seams`}, {job.unit === "in" ? "inches" : "mm"}
                    </span>
                    <time dateTime={job.changed}>{when(job.changed)}</time>
                    <span class="acts">
                      <button type="button" class="quiet" onClick={() => void duplicate(job.id)}>
                        Duplicate<span class="unseen"> {job.name}</span>
                      </button>
                      <a class="quiet" href={server.exportAddress(job.id)} download="">
                        Export<span class="unseen"> {job.name}</span>
                      </a>
                      <button type="button" class="quiet" onClick={() => void remove(job)}>
                        Put away<span class="unseen"> {job.name}</span>
                      </button>
                    </span>
                  </li>
                )}
              </For>
            </ul>
          </Show>
        </section>
        <Away list={list.latest} restore={(id) => void restore(id)} />
      </main>
    </div>
  );
}

function Away(props: { list: JobList | undefined; restore: (id: number) => void }) {
  return (
    <Show when={(props.list?.deleted.length ?? 0) > 0}>
      <details class="fold">
        <summary>
          <h2>Put away</h2>
          <span class="aside">{props.list?.deleted.length}</span>
        </summary>
        <ul class="ledger">
          <For each={props.list?.deleted}>
            {(job) => (
              <li>
                <span class="name">{job.name}</span>
                <span class="tells" />
                <time dateTime={job.deleted}>{when(job.deleted)}</time>
                <span class="acts">
                  <button type="button" class="quiet" onClick={() => props.restore(job.id)}>
                    Put it back<span class="unseen">: {job.name}</span>
                  </button>
                </span>
              </li>
            )}
          </For>
        </ul>
      </details>
    </Show>
  );
}
