// The work from the boards to the delivery: when it is done, what it costs, how the router is fed.
import { For, Show, onCleanup, onMount } from "solid-js";
import { lastWork, watchWork, work } from "../work";
import { CalendarPicture } from "./CalendarPicture";
import { CostTable } from "./CostTable";
import { FeedMaps } from "./FeedMaps";
import { ToldParts } from "./ToldParts";
import type { ToldPart } from "../protocol";

function More(props: { title: string; parts: ToldPart[] }) {
  return (
    <Show when={props.parts.length > 0}>
      <details class="more">
        <summary>{props.title}</summary>
        <ToldParts parts={props.parts} />
      </details>
    </Show>
  );
}

export function WorkPart() {
  onMount(() => watchWork(1));
  onCleanup(() => watchWork(-1));
  return (
    <Show when={lastWork()} fallback={<p class="none">Being worked out …</p>}>
      {(view) => (
        <Show when={view().lacks === ""} fallback={<p class="none">{view().lacks}</p>}>
          <div class="closing work-told" classList={{ stale: work() === null }} aria-busy={work() === null}>
            <For each={view().heads}>{(says) => <p class="verdict">{says}</p>}</For>
            <Show when={view().open.length > 0}>
              <section>
                <h3>What stands open</h3>
                <ul class="open">
                  <For each={view().open}>{(says) => <li>{says}</li>}</For>
                </ul>
              </section>
            </Show>
            <Show when={view().calendar}>
              {(calendar) => (
                <section>
                  <h3>The calendar</h3>
                  <CalendarPicture view={calendar()} />
                </section>
              )}
            </Show>
            <ToldParts parts={view().ends.slice(0, 1)} />
            <More title="What decides the end" parts={view().ends.slice(1)} />
            <More title="Day by day" parts={view().days} />
            <Show when={view().cost}>{(cost) => <CostTable view={cost()} />}</Show>
            <Show when={view().feed.length > 0}>
              <section>
                <h3>Feeding the router</h3>
                <FeedMaps maps={view().feed} />
              </section>
            </Show>
            <More title="Stroke by stroke, and what to mind" parts={view().feeding} />
            <ToldParts parts={view().edge} />
            <ToldParts parts={view().finish} />
          </div>
        </Show>
      )}
    </Show>
  );
}
