// A job beside the router, in big type: the steps of its seams with check marks that stay, and the whole work with what
// is noted of it. The drawing cannot be changed from here.
import { For, Show, createEffect, createSignal, onMount } from "solid-js";
import { render } from "solid-js/web";
import "./styles/ground.css";
import "./styles/shop.css";
import { ShopNotes } from "./ShopNotes";
import type { JobList, MadeView, ShopView } from "./protocol";
import { Fault, server } from "./server";
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
  const [made, setMade] = createSignal<MadeView | null>(null);
  const [noting, setNoting] = createSignal(location.hash === "#notes");
  // Whether this address may see the notes at all: a phone may be given the steps alone.
  const [mayNote, setMayNote] = createSignal(true);
  const [refused, setRefused] = createSignal("");
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
      if (noting() && mayNote() && made()?.version !== next.version) await lookAtNotes();
      setTrouble("");
    } catch (error) {
      setTrouble(error instanceof Error && error.message !== "Failed to fetch" ? error.message : "The bench computer does not answer. What is shown may be out of date.");
    }
  }
  /** An answer that was asked for earlier may come later. */
  const takeMade = (view: MadeView): void => void setMade((now) => (now && view.version < now.version ? now : view));
  async function lookAtNotes(): Promise<void> {
    try {
      takeMade(await server.made(id()));
    } catch (error) {
      if (!(error instanceof Fault) || error.status !== 404) throw error;
      setMayNote(false);
      setNoting(false);
    }
  }
  addEventListener("hashchange", () => {
    setNoting(location.hash === "#notes" && mayNote());
    void look();
  });
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
          <Show when={!noting() && all().length > 0}>
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
        <Show when={mayNote() && id() > 0}>
          <nav class="views" aria-label="What is shown">
            <a href="#router" aria-current={noting() ? undefined : "page"}>
              At the router
            </a>
            <a href="#notes" aria-current={noting() ? "page" : undefined}>
              Work and notes
            </a>
          </nav>
        </Show>
      </header>
      <main>
        <Show when={trouble()}>
          <p class="trouble" role="alert">
            {trouble()}
          </p>
        </Show>
        <Show when={noting() && refused()}>
          <p class="trouble" role="alert">
            {refused()}
          </p>
        </Show>
        <Show when={noting() && made()}>
          {(now) => <ShopNotes job={id()} view={now()} take={takeMade} trouble={setRefused} />}
        </Show>
        <For each={noting() ? [] : view()?.parts}>
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
