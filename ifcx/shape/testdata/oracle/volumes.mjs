// Writes volume and box of every product of IFC files, as web-ifc computes them, to TSV.
// See README.md beside this file.
//
//   node volumes.mjs OUTPUT_FOLDER MODEL.ifc...
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { createRequire } from "node:module";

const require = createRequire(join(process.cwd(), "package.json"));
const WebIFC = require("web-ifc");
const version = JSON.parse(readFileSync(join(process.cwd(), "node_modules/web-ifc/package.json"), "utf8")).version;

const [out, ...models] = process.argv.slice(2);
if (!out || models.length === 0) {
  console.error("usage: node volumes.mjs OUTPUT_FOLDER MODEL.ifc...");
  process.exit(2);
}

const api = new WebIFC.IfcAPI();
await api.Init();
api.SetLogLevel(WebIFC.LogLevel.LOG_LEVEL_OFF);

// The viewer's frame is Y up: (x, y, z) of the file are (x, z, -y) there.
const unturn = (x, y, z) => [x, -z, y];

function product(model, mesh) {
  let volume = 0;
  const lo = [Infinity, Infinity, Infinity];
  const hi = [-Infinity, -Infinity, -Infinity];
  const edges = new Map();
  const points = new Map();
  for (let i = 0; i < mesh.geometries.size(); i++) {
    const placed = mesh.geometries.get(i);
    const g = api.GetGeometry(model, placed.geometryExpressID);
    const v = api.GetVertexArray(g.GetVertexData(), g.GetVertexDataSize());
    const idx = api.GetIndexArray(g.GetIndexData(), g.GetIndexDataSize());
    const m = placed.flatTransformation;
    const at = (k) => {
      const [x, y, z] = [v[6 * k], v[6 * k + 1], v[6 * k + 2]];
      return unturn(m[0] * x + m[4] * y + m[8] * z + m[12], m[1] * x + m[5] * y + m[9] * z + m[13], m[2] * x + m[6] * y + m[10] * z + m[14]);
    };
    const name = (p) => { // points closer than 0.1 mm are one, per geometry
      const key = i + ":" + p.map((c) => Math.round(c * 1e4)).join();
      if (!points.has(key)) points.set(key, points.size);
      return points.get(key);
    };
    let o = null;
    for (let k = 0; k < idx.length; k += 3) {
      const p = [at(idx[k]), at(idx[k + 1]), at(idx[k + 2])];
      o ??= p[0];
      for (const q of p) for (let c = 0; c < 3; c++) { lo[c] = Math.min(lo[c], q[c]); hi[c] = Math.max(hi[c], q[c]); }
      const [a, b, d] = p.map((q) => q.map((x, c) => x - o[c]));
      volume += (a[0] * (b[1] * d[2] - b[2] * d[1]) + a[1] * (b[2] * d[0] - b[0] * d[2]) + a[2] * (b[0] * d[1] - b[1] * d[0])) / 6;
      const n = p.map(name);
      for (let e = 0; e < 3; e++) {
        const [s, t] = [n[e], n[(e + 1) % 3]];
        if (s === t) continue;
        const key = s < t ? s + "," + t : t + "," + s;
        edges.set(key, (edges.get(key) ?? 0) + (s < t ? 1 : -1));
      }
    }
    g.delete();
  }
  const closed = edges.size > 0 && [...edges.values()].every((n) => n === 0);
  return { volume, lo, hi, closed };
}

for (const path of models) {
  const data = readFileSync(path);
  const model = api.OpenModel(new Uint8Array(data), { COORDINATE_TO_ORIGIN: false, CIRCLE_SEGMENTS: 64 });
  const rows = [];
  api.StreamAllMeshes(model, (mesh) => {
    const line = api.GetLine(model, mesh.expressID);
    const guid = line.GlobalId?.value;
    if (!guid || mesh.geometries.size() === 0) return;
    const p = product(model, mesh);
    if (!p.lo.every(Number.isFinite)) return;
    const box = [...p.lo, ...p.hi].map((x) => x.toFixed(4));
    rows.push([guid, line.constructor.name, p.volume.toFixed(6), p.closed ? "closed" : "open", ...box].join("\t"));
  });
  api.CloseModel(model);
  rows.sort();
  const head = `# ${basename(path)} sha256 ${createHash("sha256").update(data).digest("hex")} web-ifc ${version}\n` +
    "# GlobalId\tentity\tvolume m3\tmesh\tminX\tminY\tminZ\tmaxX\tmaxY\tmaxZ (metres, the file's frame, Z up)\n";
  writeFileSync(join(out, basename(path) + ".tsv"), head + rows.join("\n") + "\n");
  console.log(basename(path), rows.length);
}
