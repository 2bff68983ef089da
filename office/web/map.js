// The map that can be moved, over the same areas as the drawing. Without this script, or where a machine draws no such maps,
// the drawing stays. Nothing is asked of another host: library, areas, lines and the base map all come from this page's own.

const live = document.querySelector("#live");
const drawn = document.querySelector("#drawn");
if (live && drawn && canDraw()) begin().catch((trouble) => console.info(`The drawing stays: ${trouble.message}`));

/** Whether this browser draws with WebGL at all. */
function canDraw() {
  try {
    return document.createElement("canvas").getContext("webgl2") !== null;
  } catch {
    return false;
  }
}

async function begin() {
  const read = async (address) => {
    const answer = await fetch(address);
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    return answer.json();
  };
  const [library, areas, lines] = await Promise.all([
    import("/look/maplibre-gl.mjs"), read(live.dataset.areas), read(live.dataset.lines),
  ]);
  const all = bounds([...areas.features, ...lines.features]);
  if (!all) return;
  live.hidden = false;
  const place = live.querySelector(".moved");
  const base = await basemap(library);
  const map = new library.Map({
    container: place, bounds: all, fitBoundsOptions: { padding: 24, animate: false }, style: style(areas, lines, base),
    attributionControl: false, dragRotate: false, pitchWithRotate: false, rollEnabled: false, maxPitch: 0,
    minZoom: 4, maxZoom: 15, fadeDuration: 0, renderWorldCopies: false, cooperativeGestures: false,
    locale: { "Map.Title": live.dataset.name },
  });
  map.touchZoomRotate.disableRotation();
  map.keyboard.disableRotation();
  hatch(map);
  map.on("styleimagemissing", () => hatch(map));
  let told = false;
  map.on("error", ({ error, sourceId }) => {
    if (sourceId === "base" && !told) {
      told = true;
      say(live.dataset.trouble);
    } else if (!told) console.info(`map: ${error?.message}`);
  });
  map.once("idle", () => {
    place.dataset.ready = "yes";
    show(true);
  });
  const scheme = matchMedia("(prefers-color-scheme: dark)");
  scheme.addEventListener("change", () => {
    map.setStyle(style(areas, lines, base), { diff: false });
    map.once("styledata", () => hatch(map));
  });
  buttons(map, all);
  rows(map, areas);
}

/** Shows the map that moves in place of the drawing, or the other way round. The drawing is always what prints. */
function show(moving) {
  live.classList.toggle("away", !moving);
  drawn.classList.toggle("away", moving);
  document.querySelector("#to-moving").hidden = moving;
}

function buttons(map, all) {
  const still = { animate: false };
  const steps = {
    in: () => map.zoomIn(still), out: () => map.zoomOut(still),
    all: () => map.fitBounds(all, { padding: 24, animate: false }),
    drawn: () => {
      show(false);
      document.querySelector("#to-moving button").focus();
    },
  };
  for (const button of live.querySelectorAll("button[data-do]")) button.addEventListener("click", steps[button.dataset.do]);
  document.querySelector("#to-moving button").addEventListener("click", () => {
    show(true);
    live.querySelector("button[data-do=drawn]").focus();
  });
}

/** Each row of the table gets a button that shows its area; an area that is clicked says its row. */
function rows(map, areas) {
  const found = (number) => areas.features.find((f) => f.properties.number === number);
  const choose = (number, there) => {
    const area = found(number);
    const row = document.querySelector(`tr[data-number="${number}"]`);
    if (!area || !row) return;
    document.querySelector("tr.shown")?.classList.remove("shown");
    row.classList.add("shown");
    map.setFilter("chosen", ["==", ["get", "number"], number]);
    if (there) map.fitBounds(bounds([area]), { padding: 60, maxZoom: 12, animate: false });
    const { name, said } = area.properties;
    say(`${number}. ${name}: ${said}. `, row.querySelector("a")?.getAttribute("href"));
  };
  for (const row of document.querySelectorAll("tr[data-placed]")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "pick noprint";
    button.textContent = live.dataset.short;
    button.setAttribute("aria-label", `${live.dataset.show}: ${row.querySelector("th").innerText.trim()}`);
    button.addEventListener("click", () => {
      show(true);
      choose(Number(row.dataset.number), true);
    });
    row.querySelector("th").append(button);
  }
  map.on("click", "areas", ({ features }) => choose(features[0].properties.number, false));
  for (const [event, hand] of [["mouseenter", "pointer"], ["mouseleave", ""]]) {
    map.on(event, "areas", () => {
      map.getCanvas().style.cursor = hand;
    });
  }
}

/** Says something under the map, with a way to its inquiries. */
function say(words, list) {
  const line = live.querySelector(".told");
  line.textContent = words;
  if (!list) return;
  const link = document.createElement("a");
  link.href = list;
  link.textContent = live.dataset.list;
  line.append(link);
}

/** West, south, east, north of features; nothing where they have no corner. */
function bounds(features) {
  const box = [[Infinity, Infinity], [-Infinity, -Infinity]];
  const take = (part) => {
    if (typeof part[0] !== "number") return part.forEach(take);
    for (const at of [0, 1]) {
      box[0][at] = Math.min(box[0][at], part[at]);
      box[1][at] = Math.max(box[1][at], part[at]);
    }
  };
  for (const { geometry } of features) if (geometry) take(geometry.coordinates);
  return box[0][0] < box[1][0] ? box : null;
}

/** The middle of an area's largest part, where its words stand. */
function middles(areas) {
  const size = (ring) => {
    const [[w, s], [e, n]] = bounds([{ geometry: { coordinates: ring } }]);
    return (e - w) * (n - s);
  };
  const features = areas.features.map(({ geometry, properties }) => {
    const parts = geometry.type === "Polygon" ? [geometry.coordinates] : geometry.coordinates;
    const [largest] = parts.map((rings) => rings[0]).sort((a, b) => size(b) - size(a));
    const [[w, s], [e, n]] = bounds([{ geometry: { coordinates: largest } }]);
    return { type: "Feature", properties, geometry: { type: "Point", coordinates: [(w + e) / 2, (s + n) / 2] } };
  });
  return { type: "FeatureCollection", features };
}

/** The color of a token of the look. */
const color = (token) => getComputedStyle(document.documentElement).getPropertyValue(`--${token}`).trim();

function style(areas, lines, base) {
  const [ink, soft, sheet, paper, act] = ["ink", "ink-2", "sheet", "paper", "act"].map(color);
  const hatched = ["in", ["get", "shade"], ["literal", Object.keys(HATCHES)]];
  const counted = areas.features.length > 0;
  return {
    version: 8,
    sources: {
      areas: { type: "geojson", data: areas }, middles: { type: "geojson", data: middles(areas) },
      lines: { type: "geojson", data: lines }, ...base.sources,
    },
    layers: [
      { id: "ground", type: "background", paint: { "background-color": base.layers ? sheet : paper } },
      ...(base.layers?.({ ink, soft, sheet, paper }) ?? []),
      { id: "areas", type: "fill", source: "areas", paint: { "fill-color": sheet, "fill-opacity": base.layers ? 0.25 : 1 } },
      { id: "shades", type: "fill", source: "areas", filter: hatched, paint: { "fill-pattern": ["concat", "hatch-", ["get", "shade"]] } },
      { id: "edges", type: "line", source: counted ? "areas" : "lines", paint: { "line-color": ink, "line-width": 1.25 } },
      { id: "townships", type: "line", source: "lines", filter: ["==", ["get", "kind"], "township"], paint: { "line-color": soft, "line-width": 0.75 } },
      { id: "county", type: "line", source: "lines", filter: ["==", ["get", "kind"], "county"], paint: { "line-color": ink, "line-width": 3 } },
      { id: "chosen", type: "line", source: "areas", filter: ["==", ["get", "number"], -1], paint: { "line-color": act, "line-width": 5 } },
      {
        id: "words", type: "symbol", source: "middles",
        layout: {
          "text-field": ["concat", ["get", "label"], "\n", ["get", "said"]], "text-font": ["Dooryard Sans"], "text-size": 15,
          "text-max-width": 12, "text-padding": 4,
        },
        paint: { "text-color": ink, "text-halo-color": sheet, "text-halo-width": 3 },
      },
    ],
  };
}

/** Distance and width of the strokes of each shade, pixels; dots where nothing is known. */
const HATCHES = { less: [12, 1.6], middle: [8, 2.2], most: [6, 3.4], unknown: [12, 0] };

/** Hatching is drawn here: more of it for a larger share. Without color, as on paper. */
function hatch(map) {
  for (const [shade, [apart, wide]] of Object.entries(HATCHES)) {
    const name = `hatch-${shade}`;
    if (map.hasImage(name)) map.removeImage(name);
    const side = apart * 2;
    const canvas = Object.assign(document.createElement("canvas"), { width: side, height: side });
    const pen = canvas.getContext("2d");
    pen.strokeStyle = color("ink");
    pen.fillStyle = color("ink");
    pen.lineWidth = wide;
    if (wide === 0) {
      for (const at of [[apart / 2, apart / 2], [apart * 1.5, apart * 1.5], [apart / 2, apart * 1.5], [apart * 1.5, apart / 2]]) {
        pen.beginPath();
        pen.arc(...at, 1.3, 0, 7);
        pen.fill();
      }
    } else {
      for (let x = -side; x <= side * 2; x += apart) {
        pen.beginPath();
        pen.moveTo(x - 2, side + 2);
        pen.lineTo(x + side + 2, -2);
        pen.stroke();
      }
    }
    map.addImage(name, pen.getImageData(0, 0, side, side));
  }
}

/** The county's own base map, where there is one: its source, its layers in the ink of the page, and who made it. */
async function basemap(library) {
  const kind = live.dataset.basemap;
  if (!kind || !globalThis.pmtiles) return {};
  const url = `${location.origin}/map/basemap.pmtiles`;
  const file = new globalThis.pmtiles.PMTiles(url);
  const protocol = new globalThis.pmtiles.Protocol();
  protocol.add(file);
  let about;
  try {
    about = await file.getMetadata();
  } catch {
    say(live.dataset.trouble);
    return {};
  }
  library.addProtocol("pmtiles", protocol.tile);
  credit(about?.attribution);
  const source = { type: kind === "vector" ? "vector" : "raster", url: `pmtiles://${url}`, ...(kind !== "vector" && { tileSize: 256 }) };
  const names = new Set((about?.vector_layers ?? []).map((layer) => layer.id));
  return { sources: { base: source }, layers: kind === "vector" ? (ink) => quiet(names, ink) : () => picture() };
}

const picture = () => [{ id: "base", type: "raster", source: "base", paint: { "raster-opacity": 0.6, "raster-saturation": -0.6 } }];

/** Water, parks, roads and places of either common naming of layers, drawn quietly. Names are written in the page's own letters. */
function quiet(names, { ink, soft, sheet, paper }) {
  const has = (...known) => known.find((name) => names.has(name));
  const layers = [];
  const add = (layer, rest) => layer && layers.push({ ...rest, source: "base", "source-layer": layer });
  const name = ["coalesce", ["get", "name:latin"], ["get", "name"]];
  add(has("landcover"), { id: "base-cover", type: "fill", paint: { "fill-color": paper, "fill-opacity": 0.6 } });
  add(has("landuse"), { id: "base-use", type: "fill", paint: { "fill-color": paper, "fill-opacity": 0.6 } });
  add(has("water"), { id: "base-water", type: "fill", filter: ["match", ["geometry-type"], ["Polygon", "MultiPolygon"], true, false], paint: { "fill-color": color("rule") } });
  add(has("roads", "transportation"), { id: "base-roads", type: "line", paint: { "line-color": soft, "line-opacity": 0.55, "line-width": ["interpolate", ["linear"], ["zoom"], 8, 0.4, 14, 2] } });
  add(has("roads", "transportation_name"), {
    id: "base-road-names", type: "symbol", minzoom: 12, layout: { "symbol-placement": "line", "text-field": name, "text-font": ["Dooryard Sans"], "text-size": 12 },
    paint: { "text-color": soft, "text-halo-color": sheet, "text-halo-width": 1.5 },
  });
  add(has("places", "place"), {
    id: "base-places", type: "symbol", minzoom: 9, layout: { "text-field": name, "text-font": ["Dooryard Sans"], "text-size": 13 },
    paint: { "text-color": ink, "text-halo-color": sheet, "text-halo-width": 2 },
  });
  return layers;
}

/** Whose base map it is stands under every map. What a file says is text, whatever it looks like. */
function credit(said) {
  const text = new DOMParser().parseFromString(said ?? "", "text/html").body.textContent.trim();
  const line = live.querySelector(".source");
  line.textContent = `${live.dataset.source} ${text || live.dataset.unknown}`;
  line.hidden = false;
}
