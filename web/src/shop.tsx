// The steps of a job beside the router: big type, check marks that stay, nothing that can be changed.
import { For, Show, createEffect, createSignal, onMount } from "solid-js";
import { render } from "solid-js/web";
import "./styles/ground.css";
import "./styles/shop.css";
import type { JobList, ShopView } from "./protocol";
import { applyTheme, switchTheme, theme } from "./theme";

applyTheme();

const query = new URLSearchParams(location.search);

async function get<T>(address: string): Promise<T> {
  const response = await fetch(address, { cache: "no-store" });
  if (!response.ok) {
    const told = (await response.json().catch(() => ({}))) as { says?: string; remedy?: string };
    throw new Error([told.says ?? `The program answered ${response.status}.`, told.remedy ?? ""].join(" ").trim());
  }
  return (await response.json()) as T;
}

function Shop() {
  const [id, setId] = createSignal(0);
  const [view, setView] = createSignal<ShopView | null>(null);
  const [trouble, setTrouble] = createSignal("");
  const [done, setDone] = createSignal<ReadonlySet<string>>(new Set<string>());
  const key = (): string => `seamwright.shop.${id()}`;

  async function look(): Promise<void> {
    try {
      if (id() === 0) {
        const asked = Number(query.get("job") ?? /^#\/job\/(\d+)/.exec(location.hash)?.[1] ?? 0);
        setId(asked > 0 ? asked : (await get<JobList>("/api/jobs")).last);
        setDone(new Set(JSON.parse(localStorage.getItem(key()) ?? "[]") as string[]));
      }
      if (id() === 0) {
        setTrouble("There is no job yet.");
        return;
      }
      const next = await get<ShopView>(`/api/jobs/${id()}/shop`);
      if (next.version !== view()?.version) setView(next);
      setTrouble("");
    } catch (error) {
      setTrouble(error instanceof Error && error.message !== "Failed to fetch" ? error.message : "The bench computer does not answer. What is shown may be out of date.");
    }
  }
  onMount(() => {
    void look();
    setInterval(() => document.visibilityState === "visible" && void look(), 5000);
  });
  createEffect(() => {
    const v = view();
    if (v) document.title = `${v.name}: in the shop`;
  });
  function check(step: string, on: boolean): void {
    const next = new Set(done());
    if (on) next.add(step);
    else next.delete(step);
    setDone(next);
    localStorage.setItem(key(), JSON.stringify([...next]));
  }
  const all = () => view()?.parts.flatMap((part) => part.steps.map((step) => step.id)) ?? [];
  const checked = () => all().filter((step) => done().has(step)).length;
  const next = () => all().find((step) => !done().has(step));

  return (
    <div class="shop">
      <header>
        <h1>{view()?.name ?? "Seamwright"}</h1>
        <p class="count">
          <Show when={all().length > 0}>
            {checked()} of {all().length} steps done
          </Show>
          <Show when={query.get("job")}>
            {(job) => (
              <a class="quiet" href={`/#/job/${job()}`}>
                To the drawing
              </a>
            )}
          </Show>
          <button type="button" class="quiet" onClick={switchTheme}>
            {theme() === "dark" ? "Light" : "Dark"}
          </button>
        </p>
      </header>
      <main>
        <Show when={trouble()}>
          <p class="trouble" role="alert">
            {trouble()}
          </p>
        </Show>
        <For each={view()?.parts}>
          {(part) => (
            <section>
              <h2>{part.title}</h2>
              <For each={part.cautions}>{(caution) => <p class="caution">{caution}</p>}</For>
              <ol>
                <For each={part.steps}>
                  {(step) => (
                    <li classList={{ done: done().has(step.id), next: next() === step.id }}>
                      <label>
                        <input type="checkbox" checked={done().has(step.id)} onChange={(e) => check(step.id, e.currentTarget.checked)} />
                        <span>{step.title}</span>
                      </label>
                      <div class="lines">
                        <For each={step.lines}>{(line) => <p>{line}</p>}</For>
                        <For each={step.cautions}>{(caution) => <p class="caution">{caution}</p>}</For>
                      </div>
                    </li>
                  )}
                </For>
              </ol>
            </section>
          )}
        </For>
      </main>
    </div>
  );
}

render(() => <Shop />, document.getElementById("bench")!);
