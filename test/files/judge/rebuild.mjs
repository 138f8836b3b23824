// Rebuilds parts from their outline files as written, in a library of exact booleans, and compares
// the volume with that of the STL file beside them.
//   node rebuild.mjs LIBRARY NAME...   LIBRARY: the file manifold.js; NAME.stl, NAME.dxf and NAME.svg
// Exit 1 where one is off by more than 0.2 %.
import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';

const [, , library, ...names] = process.argv;
const { default: load } = await import(pathToFileURL(library));
const wasm = await load();
wasm.setup();
const { CrossSection, Manifold, Mesh } = wasm;
const chord = Math.PI / 90; // of arcs: a disc loses 2e-4

// Points of an arc from a to b after a, b itself left out; `turn` counter-clockwise.
function arc(a, b, turn) {
  const n = Math.max(1, Math.ceil(Math.abs(turn) / chord)), half = turn / 2;
  const mid = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], k = 0.5 / Math.tan(half);
  const c = [mid[0] - (b[1] - a[1]) * k, mid[1] + (b[0] - a[0]) * k], out = [];
  for (let i = 1; i < n; i++) {
    const t = turn * i / n, x = a[0] - c[0], y = a[1] - c[1];
    out.push([c[0] + x * Math.cos(t) - y * Math.sin(t), c[1] + x * Math.sin(t) + y * Math.cos(t)]);
  }
  return out;
}

// Slices: { low, high, rings }.
function readDxf(text) {
  const lines = text.split('\n'), slices = new Map();
  let ring = null, kind = '', layer = '';
  const close = () => {
    if (!ring) return;
    const points = [];
    ring.corners.forEach((p, i) => {
      const q = ring.corners[(i + 1) % ring.corners.length];
      points.push([p.x, p.y]);
      if (p.bulge) points.push(...arc([p.x, p.y], [q.x, q.y], 4 * Math.atan(p.bulge)));
    });
    if (!slices.has(ring.layer))
      slices.set(ring.layer, { low: ring.low, high: ring.low + ring.thick, rings: [] });
    slices.get(ring.layer).rings.push(points);
    ring = null;
  };
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = Number(lines[i]), value = lines[i + 1];
    if (code === 0) {
      kind = value;
      if (kind === 'SEQEND') close();
      if (kind === 'POLYLINE') ring = { low: 0, thick: 0, corners: [], layer: '' };
      if (kind === 'VERTEX') ring.corners.push({ x: 0, y: 0, bulge: 0 });
    } else if (kind === 'POLYLINE' && code === 8) ring.layer = value;
    else if (kind === 'POLYLINE' && code === 30) ring.low = Number(value);
    else if (kind === 'POLYLINE' && code === 39) ring.thick = Number(value);
    else if (kind === 'VERTEX' && [10, 20, 42].includes(code))
      ring.corners.at(-1)[{ 10: 'x', 20: 'y', 42: 'bulge' }[code]] = Number(value);
  }
  return [...slices.values()];
}

function readSvg(text) {
  const shape = /<path data-part="[^"]*" data-low="([^"]*)" data-high="([^"]*)" d="([^"]*)"/g;
  return [...text.matchAll(shape)].map(([, low, high, d]) => {
    const rings = [];
    let points = [], at = null;
    for (const [, kind, rest] of d.matchAll(/([MLAZ])([^MLAZ]*)/g)) {
      const v = rest.trim().split(/\s+/).map(Number);
      if (kind === 'Z') { rings.push(points); points = []; continue; }
      const to = [v[v.length - 2], -v[v.length - 1]];
      if (kind === 'A') {
        const span = Math.hypot(to[0] - at[0], to[1] - at[1]);
        let turn = 2 * Math.asin(Math.min(1, span / (2 * v[0])));
        if (v[3]) turn = 2 * Math.PI - turn;
        points.push(...arc(at, to, v[4] ? -turn : turn));
      }
      points.push(to);
      at = to;
    }
    return { low: Number(low), high: Number(high), rings };
  });
}

function rebuilt(slices) {
  slices.sort((a, b) => a.low - b.low);
  if (slices.some((s, i) => i && s.low < slices[i - 1].high - 1e-5)) throw new Error('slices overlap');
  const solids = slices.map(({ low, high, rings }) =>
    new CrossSection(rings, 'EvenOdd').extrude(high - low).translate([0, 0, low]));
  // one solid where that takes a second; of many slices, which follow each other, the sum
  if (slices.length <= 24) return Manifold.union(solids).volume();
  return solids.reduce((sum, solid) => sum + solid.volume(), 0);
}

function readStl(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset), n = view.getUint32(80, true);
  const known = new Map(), verts = [], tris = [];
  for (let i = 0; i < n; i++)
    for (let c = 0; c < 3; c++) {
      const p = [0, 4, 8].map(k => view.getFloat32(84 + 50 * i + 12 + 12 * c + k, true));
      const key = p.join(' ');
      if (!known.has(key)) { known.set(key, verts.length / 3); verts.push(...p); }
      tris.push(known.get(key));
    }
  return new Manifold(new Mesh({
    numProp: 3, vertProperties: new Float32Array(verts), triVerts: new Uint32Array(tris) }));
}

let bad = 0;
for (const name of names) {
  const want = readStl(readFileSync(`${name}.stl`)).volume();
  for (const [ending, read] of [['dxf', readDxf], ['svg', readSvg]]) {
    const slices = read(readFileSync(`${name}.${ending}`, 'utf8'));
    const got = rebuilt(slices), off = got / want - 1;
    const ok = Math.abs(off) <= 0.002;
    if (!ok) bad++;
    console.log(`${name}.${ending}: ${slices.length} slices, ${got.toFixed(3)} mm^3, STL ` +
      `${want.toFixed(3)}, off by ${(100 * off).toFixed(4)} %${ok ? '' : '  <- too much'}`);
  }
}
process.exit(bad || names.length === 0 ? 1 : 0);
