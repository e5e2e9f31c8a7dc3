// The unrolled seam: laid out straight like a tape, with what is known about it drawn in tracks above its length.
import { For, Index, Show, createMemo, createSignal, onCleanup, onMount } from "solid-js";
import { picture } from "../bench";
import { choose, liveSeam, plumb, seamIndex, setPlumb } from "../choice";
import { problems } from "../problems";
import type { Strip as StripData, Track } from "../protocol";
import { StripTable } from "./StripTable";

const left_px = 84; // for the values at the axis
const narrow_left_px = 58;
const right_px = 22;
const head_px = 25; // title and reading of a track
const rule_px = 44; // the rule under the tracks
const least_track_px = 46;
const most_track_px = 132;

/** A track that has nothing to draw takes only the lines of its words. */
const isEmpty = (track: Track): boolean => track.lines.every((line) => line.points.length === 0);

export function Strip() {
  const [table, setTable] = createSignal(false);
  const seam = liveSeam;
  return (
    <section class="strip" id="seam" aria-labelledby="strip-title">
      <header>
        <h2 id="strip-title">
          <Show when={seam()} fallback="No seam yet">
            {(s) => (
              <>
                <Show when={(picture()?.seams.length ?? 0) > 1} fallback={<span>{s().name}</span>}>
                  <label class="seam-choice">
                    <span class="unseen">Seam to unroll</span>
                    <select value={String(seamIndex())} onChange={(e) => choose({ what: "seam", index: Number(e.currentTarget.value) })}>
                      <Index each={picture()!.seams}>{(each, i) => <option value={String(i)}>{each().name}</option>}</Index>
                    </select>
                  </label>
                </Show>
                <span class="aside">
                  unrolled<Show when={s().strip}>{(strip) => <>, {strip().length_says} long</>}</Show>
                </span>
              </>
            )}
          </Show>
        </h2>
        <Show when={seam()?.strip}>
          <button type="button" class="quiet" aria-pressed={table()} onClick={() => setTable(!table())}>
            {table() ? "Show as a strip" : "Show as a table"}
          </button>
        </Show>
      </header>
      <Show
        when={seam()?.strip}
        fallback={
          <p class="empty">
            {seam() ? seam()!.verdict : "Draw a seam on the top and it is unrolled here: how tight it turns, what the templates reach, and how well it closes, all along its length."}
          </p>
        }
      >
        {(strip) => (
          <Show when={!table()} fallback={<StripTable strip={strip()} />}>
            <Tracks strip={strip()} closes={seam()!.closes} name={seam()!.name} />
          </Show>
        )}
      </Show>
    </section>
  );
}

function Tracks(props: { strip: StripData; closes: boolean; name: string }) {
  let frame!: HTMLDivElement;
  const [size, setSize] = createSignal<[number, number]>([600, 360]);
  onMount(() => {
    const observer = new ResizeObserver(([entry]) => {
      if (entry) setSize([Math.floor(entry.contentRect.width), Math.floor(entry.contentRect.height)]);
    });
    observer.observe(frame);
    onCleanup(() => observer.disconnect());
  });

  const narrow = () => size()[0] < 560;
  const left = () => (narrow() ? narrow_left_px : left_px);
  const width = () => Math.max(size()[0] - left() - right_px, 50);
  const drawn = createMemo(() => props.strip.tracks.filter((track) => !isEmpty(track)).length);
  const words = createMemo(() => props.strip.tracks.length - drawn());
  const track_px = createMemo(() => {
    const free = size()[1] - rule_px - words() * (head_px + 4);
    return Math.min(Math.max(free / Math.max(drawn(), 1) - head_px - 8, least_track_px), most_track_px);
  });
  const tops = createMemo(() => {
    let y = 0;
    return props.strip.tracks.map((track) => {
      const top = y;
      y += isEmpty(track) ? head_px + 4 : head_px + track_px() + 8;
      return top;
    });
  });
  const rule_y = createMemo(() => {
    const tracks = props.strip.tracks;
    const last = tracks[tracks.length - 1];
    return last ? tops()[tracks.length - 1]! + (isEmpty(last) ? head_px + 4 : head_px + track_px() + 8) : 0;
  });
  const x = (along: number): number => left() + (along / props.strip.length) * width();
  const station = () => props.strip.stations[plumb()];

  function nearest(along: number): number {
    const stations = props.strip.stations;
    let low = 0;
    let high = stations.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (stations[middle]!.at <= along) low = middle;
      else high = middle;
    }
    if (high < 0) return -1;
    return along - (stations[low]?.at ?? 0) < (stations[high]?.at ?? 0) - along ? low : high;
  }
  function point(e: PointerEvent): void {
    const at = e.clientX - frame.getBoundingClientRect().left;
    setPlumb(nearest(((at - left()) / width()) * props.strip.length));
  }
  function key(e: KeyboardEvent): void {
    const count = props.strip.stations.length;
    if (count === 0 || e.ctrlKey || e.metaKey) return;
    const here = plumb();
    const by = e.shiftKey ? 10 : 1;
    const to: Record<string, number> = {
      ArrowLeft: here < 0 ? count - 1 : here - by,
      ArrowRight: here < 0 ? 0 : here + by,
      Home: 0,
      End: count - 1,
      Escape: -1,
    };
    const next = to[e.key];
    if (next === undefined) return;
    e.preventDefault();
    setPlumb(e.key === "Escape" ? -1 : Math.min(Math.max(next, 0), count - 1));
  }
  const reading = () => {
    const at = station();
    if (!at) return "";
    return [at.says, ...props.strip.tracks.map((track, i) => (at.tells[i] ? `${track.title}: ${at.tells[i]}` : ""))].filter(Boolean).join(". ");
  };
  const along = createMemo(() => problems().filter((p) => p.along?.seam === seamIndex()));

  return (
    <div
      ref={frame}
      class="tracks"
      tabindex="0"
      role="slider"
      aria-label={`${props.name}, unrolled: place along the seam`}
      aria-valuemin={0}
      aria-valuemax={Math.max(props.strip.stations.length - 1, 0)}
      aria-valuenow={Math.max(plumb(), 0)}
      aria-valuetext={reading() || "Press the right arrow key to read along the seam"}
      onPointerDown={(e) => point(e)}
      onPointerMove={(e) => point(e)}
      onKeyDown={key}
    >
      <svg width={size()[0]} height={rule_y() + rule_px} aria-hidden="true">
        <defs>
          <pattern id="cannot" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <path class="hatch" d="M0 0V7" />
          </pattern>
        </defs>
        <Index each={props.strip.tracks}>
          {(track, i) => (
            <TrackDrawing
              track={track()}
              top={tops()[i] ?? 0}
              height={track_px()}
              left={left()}
              width={width()}
              narrow={narrow()}
              length={props.strip.length}
              reading={station()?.tells[i] ?? ""}
            />
          )}
        </Index>
        <Rule strip={props.strip} y={rule_y()} x={x} left={left()} width={width()} />
        <g class="marks">
          <For each={props.strip.marks.filter((mark) => mark.kind !== "problem")}>
            {(mark) => (
              <path class={mark.kind} d={`M${x(mark.at) - 3} ${rule_y() - 3}H${Math.max(x(mark.to), x(mark.at)) + 3}`}>
                <title>{mark.says}</title>
              </path>
            )}
          </For>
          <For each={along()}>
            {(problem) => {
              const middle = () => x((problem.along!.from + problem.along!.to) / 2);
              return (
                <g class={`note ${problem.weight}`}>
                  <path class="stretch" d={`M${x(problem.along!.from)} ${rule_y()}H${Math.max(x(problem.along!.to), x(problem.along!.from) + 2)}`} />
                  <g transform={`translate(${middle()} ${rule_y()})`}>
                    <path class="flag" d={problem.weight === "error" ? "M-10 -24H10V-4H-10z" : "M0 -28L13 -4H-13z"} />
                    <text y={problem.weight === "error" ? -9 : -8} text-anchor="middle">
                      {problem.number}
                    </text>
                  </g>
                </g>
              );
            }}
          </For>
        </g>
        <Show when={station()}>
          {(at) => (
            <g class="plumb" transform={`translate(${x(at().at)} 0)`}>
              <path class="line" d={`M0 ${head_px - 4}V${rule_y() + 10}`} />
              <path class="bob" d={`M0 ${rule_y() + 22}l-5 -8l2 -5h6l2 5z`} />
            </g>
          )}
        </Show>
      </svg>
      <p class="where" classList={{ idle: !station() }}>
        {station()?.says ?? (narrow() ? "Point at the strip to read it" : "Point anywhere along the strip to read it")}
      </p>
    </div>
  );
}

function TrackDrawing(props: {
  track: Track;
  top: number;
  height: number;
  left: number;
  width: number;
  narrow: boolean;
  length: number;
  reading: string;
}) {
  const y = (value: number): number => {
    const { low, high } = props.track;
    const part = high > low ? (Math.min(Math.max(value, low), high) - low) / (high - low) : 0;
    return props.top + head_px + (1 - part) * props.height;
  };
  const x = (along: number): number => props.left + (along / props.length) * props.width;
  const zero = () => props.track.limits.find((limit) => limit.kind === "zero")?.at;
  // One path in the units of the seam, put into place by a transform: the points need not be worked over for every frame.
  const course = (points: readonly (readonly [number, number])[]): string => {
    let d = "";
    for (let i = 0; i < points.length; i++) d += `${i ? "L" : "M"}${x(points[i]![0]).toFixed(1)} ${y(points[i]![1]).toFixed(1)}`;
    return d;
  };
  const area = (points: readonly (readonly [number, number])[]): string => {
    if (points.length === 0) return "";
    const base = y(zero() ?? props.track.low).toFixed(1);
    return `${course(points)}L${x(points[points.length - 1]![0]).toFixed(1)} ${base}L${x(points[0]![0]).toFixed(1)} ${base}z`;
  };
  /** The side of a limit that is out of bounds: away from zero, or from the values when there is no zero. */
  const beyond = (at: number): [number, number] => {
    const { low, high, lines } = props.track;
    const middle = zero() ?? lines[0]?.points[0]?.[1] ?? (low + high) / 2;
    return at >= middle ? [y(high), y(at)] : [y(at), y(low)];
  };
  const title_room = () => (props.narrow ? 0 : 0);
  return (
    <g class={`track ${props.track.id}`}>
      <text class="title" x={props.left + title_room()} y={props.top + 17}>
        {props.track.title}
      </text>
      <Show when={props.reading || props.track.worst}>
        <text class="reading" classList={{ at: props.reading !== "" }} x={props.left + props.width} y={props.top + 17} text-anchor="end">
          {props.reading || props.track.worst!.says}
        </text>
      </Show>
      <Show
        when={!isEmpty(props.track)}
        fallback={
          <text class="none" x={props.left + props.width} y={props.top + 17} text-anchor="end">
            {props.track.empty ?? ""}
          </text>
        }
      >
        <rect class="ground" x={props.left} y={props.top + head_px} width={props.width} height={props.height} />
        <Index each={props.track.limits.filter((limit) => limit.kind === "limit")}>
          {(limit) => {
            const zone = () => beyond(limit().at);
            return (
              <>
                <rect class="beyond" x={props.left} y={zone()[0]} width={props.width} height={Math.max(zone()[1] - zone()[0], 0)} fill="url(#cannot)" />
                <path class="limit" d={`M${props.left} ${y(limit().at)}h${props.width}`}>
                  <title>{limit().says}</title>
                </path>
              </>
            );
          }}
        </Index>
        <Index each={props.track.limits.filter((limit) => limit.kind === "zero")}>
          {(limit) => <path class="zero" d={`M${props.left} ${y(limit().at)}h${props.width}`} />}
        </Index>
        <Index each={props.track.lines}>
          {(line) => (
            <>
              <Show when={line().kind === "value"}>
                <path class="area" d={area(line().points)} />
              </Show>
              <path class={`course ${line().kind}`} d={course(line().points)}>
                <title>{line().says}</title>
              </path>
            </>
          )}
        </Index>
        <Show when={props.track.worst}>
          {(worst) => <circle class="worst" cx={x(worst().at)} cy={y(worst().value)} r="4.5" />}
        </Show>
        <Index each={props.track.marks}>
          {(mark) => (
            <text class="axis" x={props.left - 8} y={y(mark().at) + 4.5} text-anchor="end">
              {mark().says}
            </text>
          )}
        </Index>
      </Show>
    </g>
  );
}

/** The tape under the tracks, with the marks of a rule. */
function Rule(props: { strip: StripData; y: number; x: (along: number) => number; left: number; width: number }) {
  const room_px = 62; // for one number
  const every = createMemo(() => {
    const large = props.strip.ticks.filter((tick) => tick.large && tick.says !== "");
    return Math.max(1, Math.ceil((large.length * room_px) / Math.max(props.width, 1)));
  });
  const numbered = createMemo(() => {
    const large = props.strip.ticks.filter((tick) => tick.large && tick.says !== "");
    return new Set(large.filter((_, i) => i % every() === 0));
  });
  return (
    <g class="rule">
      <rect class="tape" x={props.left} y={props.y} width={props.width} height={rule_px - 12} />
      <For each={props.strip.ticks}>{(tick) => <path d={`M${props.x(tick.at)} ${props.y}v${tick.large ? 11 : 6}`} />}</For>
      <For each={[...numbered()]}>
        {(tick) => (
          <text x={props.x(tick.at)} y={props.y + 26} text-anchor={tick.at === 0 ? "start" : "middle"} dx={tick.at === 0 ? 3 : 0}>
            {tick.says}
          </text>
        )}
      </For>
    </g>
  );
}
