// How the templates are made: the ranked ways as step pictures; the chosen one step by step.
import { For, Index, Show, createSignal } from "solid-js";
import { change } from "../bench";
import { savedSeam } from "../choice";
import type { ChainView } from "../protocol";
import { Section } from "./Section";

const few = 4; // ways shown before "show all"
const picture_px = 74;
const large_px = 380;

export function Chains() {
  const [all, setAll] = createSignal(false);
  const chains = (): ChainView[] => {
    const given = savedSeam()?.chains ?? [];
    if (all()) return given;
    const first = given.slice(0, few);
    const chosen = given.find((chain) => chain.chosen);
    return chosen && !first.includes(chosen) ? [...first, chosen] : first;
  };
  const chosen = () => savedSeam()?.chains.find((chain) => chain.chosen);
  const pinned = () => savedSeam()?.chains.some((chain) => chain.pinned) ?? false;
  const choose = (chain: string | null): void => {
    const seam = savedSeam();
    if (seam) void change([{ set: `${seam.pointer}/chain`, value: chain }]);
  };

  return (
    <Show when={savedSeam()} fallback={<p>Draw a seam first; here you then read how its templates are made.</p>}>
      {(seam) => (
        <Show when={seam().chains.length > 0} fallback={<p>{seam().verdict}</p>}>
          <p>
            For <b>{seam().name}</b>, the best first. Each little picture is one step, seen along the seam.
          </p>
          <ul class="chains">
            <Index each={chains()}>
              {(chain) => (
                <li classList={{ chosen: chain().chosen, exact: chain().exact }}>
                  <p class="title">{chain().title}</p>
                  <p class="fit">
                    <span class="mark" aria-hidden="true">
                      {chain().exact ? "=" : "≠"}
                    </span>
                    {chain().mismatch || (chain().exact ? "The sizes of the tools leave no gap." : "")}
                  </p>
                  <Show when={chain().steps[0]}>{(first) => <p class="first">{first().title}, then {chain().steps.length - 1} more.</p>}</Show>
                  <div class="pictures">
                    <Index each={chain().steps}>{(step) => <Section section={step().picture} width={picture_px} says={step().title} />}</Index>
                  </div>
                  <Show when={chain().chosen} fallback={
                    <button type="button" onClick={() => choose(chain().id)}>
                      Make it this way<span class="unseen">: {chain().title}</span>
                    </button>
                  }>
                    <p class="state">
                      {chain().pinned ? "Chosen by you." : "Chosen by the plan."}
                      <Show when={!chain().pinned}>
                        {" "}
                        <button type="button" class="quiet" onClick={() => choose(chain().id)}>
                          Keep it so
                        </button>
                      </Show>
                    </p>
                  </Show>
                </li>
              )}
            </Index>
          </ul>
          <p class="presses">
            <Show when={seam().chains.length > few}>
              <button type="button" class="quiet" onClick={() => setAll(!all())}>
                {all() ? "Show the best only" : `Show all ${seam().chains.length} ways`}
              </button>
            </Show>
            <Show when={pinned()}>
              <button type="button" class="quiet" onClick={() => choose(null)}>
                Let the plan choose
              </button>
            </Show>
          </p>
          <Show when={seam().advice.length > 0}>
            <ul class="advice">
              <For each={seam().advice}>
                {(advice) => (
                  <li>
                    {advice.says}{" "}
                    <button type="button" class="quiet" onClick={() => void change([{ remedy: advice.remedy }])}>
                      Put it on the shelf
                    </button>
                  </li>
                )}
              </For>
            </ul>
          </Show>
          <Show when={chosen()}>{(chain) => <Steps chain={chain()} />}</Show>
        </Show>
      )}
    </Show>
  );
}

function Steps(props: { chain: ChainView }) {
  return (
    <div class="steps">
      <h3>Step by step</h3>
      <Show when={props.chain.reasons.length > 0}>
        <p class="reasons">{props.chain.reasons.join(" ")}</p>
      </Show>
      <ol>
        <Index each={props.chain.steps}>
          {(step, i) => (
            <li>
              <details open={i === 0}>
                <summary>{step().title}</summary>
                <Section section={step().picture} width={large_px} large says={step().title} />
                <Index each={step().lines}>{(line) => <p>{line()}</p>}</Index>
                <Show when={step().passes.length > 0}>
                  <ul class="passes">
                    <Index each={step().passes}>{(pass) => <li>{pass()}</li>}</Index>
                  </ul>
                </Show>
                <Index each={step().cautions}>{(caution) => <p class="caution">{caution()}</p>}</Index>
              </details>
            </li>
          )}
        </Index>
      </ol>
    </div>
  );
}
