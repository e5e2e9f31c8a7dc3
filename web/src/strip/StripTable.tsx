// The strip in words: every tenth station, and the worst ones.
import { For, createMemo } from "solid-js";
import { plumb, setPlumb } from "../choice";
import type { Strip } from "../protocol";

const every = 10;

export function StripTable(props: { strip: Strip }) {
  const rows = createMemo(() => {
    const stations = props.strip.stations;
    const wanted = new Map<number, string>();
    for (let i = 0; i < stations.length; i += every) wanted.set(i, "");
    if (stations.length > 0) wanted.set(stations.length - 1, "");
    for (const track of props.strip.tracks) {
      const worst = track.worst;
      if (!worst || stations.length === 0) continue;
      let best = 0;
      stations.forEach((station, i) => {
        if (Math.abs(station.at - worst.at) < Math.abs(stations[best]!.at - worst.at)) best = i;
      });
      wanted.set(best, [wanted.get(best), worst.says].filter(Boolean).join("; "));
    }
    return [...wanted].sort((a, b) => a[0] - b[0]).map(([index, note]) => ({ index, note, station: stations[index]! }));
  });
  const shown = createMemo(() => props.strip.tracks.map((track, i) => ({ track, i })).filter(({ i }) => props.strip.stations.some((s) => s.tells[i])));
  return (
    <div class="table-frame" tabindex="0" role="region" aria-label="The unrolled seam as a table">
      <table>
        <thead>
          <tr>
            <th scope="col">Place</th>
            <For each={shown()}>{({ track }) => <th scope="col">{track.title}</th>}</For>
            <th scope="col">Worth knowing</th>
          </tr>
        </thead>
        <tbody>
          <For each={rows()}>
            {(row) => (
              <tr classList={{ here: row.index === plumb() }} onPointerEnter={() => setPlumb(row.index)}>
                <th scope="row">{row.station.says}</th>
                <For each={shown()}>{({ i }) => <td>{row.station.tells[i]}</td>}</For>
                <td>{row.note}</td>
              </tr>
            )}
          </For>
        </tbody>
      </table>
    </div>
  );
}
