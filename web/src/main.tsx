// The page where a job is drawn and planned.
import { Show, createEffect, createSignal, onCleanup, onMount } from "solid-js";
import { render } from "solid-js/web";
import "./styles/ground.css";
import "./styles/bench.css";
import "./styles/drawing.css";
import "./styles/strip.css";
import "./styles/column.css";
import "./styles/work.css";
import "./styles/jobs.css";
import "./styles/picture.css";
import "./frames";
import { close, fault, open, present, redo, settled, spoken, undo, watchOtherWindows } from "./bench";
import { choose, setChoosingWay, setSketch } from "./choice";
import { BenchView } from "./BenchView";
import { Jobs } from "./Jobs";
import { applyTheme } from "./theme";
import { server } from "./server";

applyTheme();

/** Where the address says we are: one job (its number), or the list. */
const [where, setWhere] = createSignal<number | "jobs" | "start">("start");

function readAddress(): void {
  const job = /^#\/job\/(\d+)/.exec(location.hash);
  if (job) setWhere(Number(job[1]));
  else if (location.hash.startsWith("#/jobs")) setWhere("jobs");
  else setWhere("start");
}

function App() {
  readAddress();
  addEventListener("hashchange", readAddress);
  onCleanup(() => removeEventListener("hashchange", readAddress));
  onMount(watchOtherWindows);

  createEffect(() => {
    const now = where();
    if (now === "start") {
      server.jobs().then(
        (list) => location.replace(list.last > 0 ? `#/job/${list.last}` : "#/jobs"),
        () => location.replace("#/jobs"),
      );
      return;
    }
    setSketch(null);
    setChoosingWay(false);
    if (now === "jobs") {
      close();
      document.title = "Seamwright: jobs";
      return;
    }
    close();
    choose({ what: "seam", index: 0 });
    void open(now);
  });
  createEffect(() => {
    const name = settled()?.name;
    if (name !== undefined) document.title = `${name} · Seamwright`;
  });

  // Undo and redo, but not while typing: there the field's own undo counts.
  const keys = (e: KeyboardEvent): void => {
    if (!(e.ctrlKey || e.metaKey) || e.altKey) return;
    const target = e.target as HTMLElement;
    if (target.matches("textarea, input:not([type=checkbox])") && (target as HTMLInputElement).dataset["dirty"] === "true") return;
    const letter = e.key.toLowerCase();
    if (letter === "z" && !e.shiftKey) void undo();
    else if (letter === "y" || letter === "z") void redo();
    else return;
    e.preventDefault();
  };
  addEventListener("keydown", keys);
  onCleanup(() => removeEventListener("keydown", keys));

  return (
    <>
      <Show when={where() === "jobs"}>
        <Jobs />
      </Show>
      <Show when={typeof where() === "number"}>
        <Show when={present()} fallback={<Waiting />}>
          <BenchView />
        </Show>
      </Show>
      <p class="unseen" role="status" aria-live="polite">
        {spoken()}
      </p>
    </>
  );
}

function Waiting() {
  return (
    <main class="waiting">
      <Show when={fault()} fallback={<p>Laying out the job…</p>}>
        {(f) => (
          <>
            <h1>Seamwright</h1>
            <p>{f().says}</p>
            <p>{f().remedy}</p>
            <p>
              <a href="#/jobs">To the jobs</a>
            </p>
          </>
        )}
      </Show>
    </main>
  );
}

render(() => <App />, document.getElementById("bench")!);
