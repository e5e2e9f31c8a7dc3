// The calendar: days across, steps down. Where everything stands is the program's.
import { For, Show, createSignal, onMount } from "solid-js";
import type { CalendarView } from "../protocol";

/** The mark of a step that decides the delivery. */
function Diamond() {
  return (
    <svg class="diamond" viewBox="0 0 10 10" aria-hidden="true">
      <path d="M5 0L10 5L5 10L0 5Z" />
    </svg>
  );
}

function Picture(props: { view: CalendarView }) {
  const view = () => props.view;
  return (
    <div class="calendar">
      <ol class="calendar-names" style={{ "padding-top": `${view().head}px` }}>
        <For each={view().steps}>
          {(step) => (
            <li classList={{ chain: step.chain }} style={{ height: `${step.height}px` }} title={step.says}>
              <Show when={step.chain}>
                <Diamond />
              </Show>
              <span aria-hidden="true">{step.name}</span>
              <span class="unseen">{step.says}</span>
            </li>
          )}
        </For>
      </ol>
      <div class="calendar-across" tabindex="0" role="region" aria-label="The days, from left to right">
        <svg width={view().width} height={view().height} viewBox={`0 0 ${view().width} ${view().height}`} aria-hidden="true">
          <defs>
            <pattern id="calendar-wait" patternUnits="userSpaceOnUse" width="7" height="7" patternTransform="rotate(45)">
              <path class="hatch" d="M0 0V7" />
            </pattern>
            <pattern id="calendar-clamps" patternUnits="userSpaceOnUse" width="6" height="6">
              <path class="hatch" d="M0 3H6M3 0V6" />
            </pattern>
          </defs>
          <For each={view().closed}>{(c) => <rect class="closed" classList={{ day: c.day }} x={c.x} y={view().head} width={c.width} height={view().height - view().head} />}</For>
          <For each={view().steps}>{(step) => <path class="row" d={`M0 ${step.y}H${view().width}`} />}</For>
          <For each={view().months}>
            {(month) => (
              <text class="month" x={month.x} y="15">
                {month.says}
              </text>
            )}
          </For>
          <For each={view().days}>
            {(day) => (
              <>
                <path class="day" d={`M${day.x} 22V${view().height}`} />
                <text class="weekday" x={day.x + day.width / 2} y="36" text-anchor="middle">
                  {day.weekday}
                </text>
                <text x={day.x + day.width / 2} y="52" text-anchor="middle">
                  {day.number}
                </text>
              </>
            )}
          </For>
          <path class="link" d={view().chain} />
          <For each={view().steps}>
            {(step) => (
              <For each={step.bars}>
                {(bar) => (
                  <g class={`bar ${bar.kind}`} classList={{ chain: bar.chain }}>
                    <title>{step.says}</title>
                    <rect class="under" x={bar.box[0]} y={bar.box[1]} width={bar.box[2]} height={bar.box[3]} />
                    <rect
                      x={bar.box[0]}
                      y={bar.box[1]}
                      width={bar.box[2]}
                      height={bar.box[3]}
                      fill={bar.kind === "work" ? undefined : `url(#calendar-${bar.kind})`}
                    />
                  </g>
                )}
              </For>
            )}
          </For>
          <path class="delivery" d={`M${view().delivery} ${view().head}V${view().height}`} />
          <path class="flag" d={`M${view().delivery} ${view().head}l-9 -5l9 -5Z`} />
        </svg>
      </div>
    </div>
  );
}

function Key() {
  const swatch = (kind: string, chain: boolean) => (
    <svg width="26" height="16" aria-hidden="true">
      <g class={`bar ${kind}`} classList={{ chain }}>
        <rect class="under" x="2" y={chain ? 1 : 3} width="22" height={chain ? 14 : 10} />
        <rect x="2" y={chain ? 1 : 3} width="22" height={chain ? 14 : 10} fill={kind === "work" ? undefined : `url(#calendar-${kind})`} />
      </g>
    </svg>
  );
  return (
    <ul class="calendar-key">
      <li>{swatch("work", false)} by hand</li>
      <li>{swatch("clamps", false)} in clamps</li>
      <li>{swatch("wait", false)} waiting: glue, drying, cure</li>
      <li>
        {swatch("work", true)} <Diamond /> tall, and joined by a line: decides the delivery
      </li>
      <li>
        <span class="closed-swatch" /> closed; days without work on this job are drawn narrow
      </li>
    </ul>
  );
}

function Large(props: { view: CalendarView; close: () => void }) {
  let sheet!: HTMLDialogElement;
  onMount(() => sheet.showModal());
  return (
    <dialog class="boards-large" ref={sheet} aria-label="The calendar, large" onClose={() => props.close()}>
      <p class="presses">
        <b>The calendar</b>
        <button type="button" onClick={() => sheet.close()}>
          Back to the job
        </button>
      </p>
      <Picture view={props.view} />
      <Key />
    </dialog>
  );
}

export function CalendarPicture(props: { view: CalendarView }) {
  const [large, setLarge] = createSignal(false);
  return (
    <figure class="calendar-figure" aria-label="The calendar, drawn">
      <Show when={large()} fallback={<Picture view={props.view} />}>
        <Large view={props.view} close={() => setLarge(false)} />
      </Show>
      <Key />
      <p class="presses">
        <button type="button" class="quiet" onClick={() => setLarge(true)}>
          Lay the calendar out large
        </button>
      </p>
    </figure>
  );
}
