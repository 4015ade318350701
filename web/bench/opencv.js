// Looks for balls and edges of shafts with OpenCV compiled to JavaScript, as a
// person would who has only that, and prints as JSON what it took and found.
//   node -e … MODULE FOLDER
const fs = require("fs");
const [modulePath, folder] = process.argv.slice(1);
const cv = require(modulePath);

// cut returns the square round the tap on which all three ball finders work.
const half = 170;
function cut(s) {
  const grey = cv.matFromArray(s.Height, s.Width, cv.CV_8UC1, fs.readFileSync(`${folder}/${s.Name}.grey`));
  const x = Math.max(0, Math.round(s.Ball[0]) - half), y = Math.max(0, Math.round(s.Ball[1]) - half);
  const r = new cv.Rect(x, y, Math.min(2 * half, s.Width - x), Math.min(2 * half, s.Height - y));
  return { grey, r, x, y, tx: s.Ball[0] - x, ty: s.Ball[1] - y };
}

function blurred(c) {
  const part = c.grey.roi(c.r), out = new cv.Mat();
  cv.GaussianBlur(part, out, new cv.Size(5, 5), 1.2);
  part.delete();
  return out;
}

// circle: the strongest circle round the tap, of 120 to 280 px across.
function circle(b, c) {
  const circles = new cv.Mat();
  cv.HoughCircles(b, circles, cv.HOUGH_GRADIENT, 1, 60, 100, 30, 60, 140);
  let best = null;
  for (let i = 0; i < circles.cols && !best; i++) {
    const [x, y, r] = circles.data32F.slice(3 * i, 3 * i + 3);
    if (Math.hypot(x - c.tx, y - c.ty) < r) best = { x, y, r };
  }
  circles.delete();
  return best;
}

const nothing = { X: 0, Y: 0, Across: 0, Refused: "nothing round the tap" };
const ofEllipse = (e, c) => ({ X: e.center.x + c.x, Y: e.center.y + c.y, Across: Math.min(e.size.width, e.size.height), Refused: "" });

function hough(c) {
  const b = blurred(c), o = circle(b, c);
  b.delete();
  return o ? { X: o.x + c.x, Y: o.y + c.y, Across: 2 * o.r, Refused: "" } : nothing;
}

// outline: a threshold halfway between the grey at the tap and the middle grey
// of the square's border, the outline round the tap, an ellipse through it.
function outline(c) {
  const b = blurred(c), black = new cv.Mat(), outlines = new cv.MatVector(), order = new cv.Mat();
  const border = [], n = b.cols, m = b.rows;
  for (let x = 0; x < n; x++) border.push(b.data[x], b.data[(m - 1) * n + x]);
  for (let y = 0; y < m; y++) border.push(b.data[y * n], b.data[y * n + n - 1]);
  border.sort((p, q) => p - q);
  cv.threshold(b, black, (b.data[Math.round(c.ty) * n + Math.round(c.tx)] + border[border.length >> 1]) / 2, 255, cv.THRESH_BINARY);
  cv.findContours(black, outlines, order, cv.RETR_EXTERNAL, cv.CHAIN_APPROX_NONE);
  let best = null;
  for (let i = 0; i < outlines.size(); i++) {
    const o = outlines.get(i);
    if (o.rows >= 20 && cv.pointPolygonTest(o, new cv.Point(c.tx, c.ty), false) > 0) best = cv.fitEllipse(o);
    o.delete();
  }
  b.delete(), black.delete(), outlines.delete(), order.delete();
  return best ? ofEllipse(best, c) : nothing;
}

// canny: an ellipse through the edges that lie within 6 px of that circle.
function canny(c) {
  const b = blurred(c), near = circle(b, c), lines = new cv.Mat(), at = [];
  cv.Canny(b, lines, 40, 100);
  for (let y = 0; near && y < lines.rows; y++)
    for (let x = 0; x < lines.cols; x++)
      if (lines.data[y * lines.cols + x] && Math.abs(Math.hypot(x - near.x, y - near.y) - near.r) < 6) at.push(x, y);
  b.delete(), lines.delete();
  if (at.length < 40) return nothing;
  const m = cv.matFromArray(at.length / 2, 1, cv.CV_32SC2, at), e = cv.fitEllipse(m);
  m.delete();
  return ofEllipse(e, c);
}

// peak returns the place of the strongest gradient between two columns of a
// row, sign times it, to a part of a pixel; not a number where there is none.
function peak(g, row, from, to, sign) {
  let best = -1, most = 0;
  for (let x = Math.max(1, Math.ceil(from)); x <= Math.min(g.cols - 2, to); x++) {
    const v = sign * g.data32F[row + x];
    if (v > most) most = v, best = x;
  }
  if (best < 0) return NaN;
  const a = sign * g.data32F[row + best - 1], b = sign * g.data32F[row + best + 1], d = a - 2 * most + b;
  return best + (d < 0 ? Math.max(-0.5, Math.min(0.5, (a - b) / (2 * d))) : 0);
}

// walls: Sobel across, the strongest rise and fall of each row on each side of
// the line between the taps, and the median of nine rows.
const reach = 160;
function walls(s, samples) {
  const m = new cv.Mat(), g = new cv.Mat();
  samples.convertTo(m, cv.CV_32F, s.Dark ? -1 : 1, 0);
  cv.GaussianBlur(m, m, new cv.Size(0, 0), 2);
  cv.Sobel(m, g, cv.CV_32F, 1, 0, 3);
  const out = [[], [], [], []];
  const y0 = Math.round(s.Upper[1]), y1 = Math.round(s.Lower[1]);
  for (let y = y0; y <= y1; y++) {
    const mid = s.Upper[0] + (s.Lower[0] - s.Upper[0]) * (y - s.Upper[1]) / (s.Lower[1] - s.Upper[1]), row = y * g.cols;
    const a = peak(g, row, mid - reach, mid, 1), d = peak(g, row, mid, mid + reach, -1);
    [a, peak(g, row, a + 2, mid, -1), peak(g, row, mid, d - 2, 1), d].forEach((x, k) => out[k].push([x, y]));
  }
  m.delete(), g.delete();
  return { Walls: out.map(smoothed), Refused: "" };
}

function smoothed(wall) {
  return wall.map(([, y], i) => {
    const near = wall.slice(Math.max(0, i - 4), i + 5).map((p) => p[0]).filter(Number.isFinite).sort((a, b) => a - b);
    return [near[near.length >> 1], y];
  }).filter((p) => p[0] !== undefined);
}

function main() {
  const out = { ms: {}, finders: {}, shafts: [] };
  const clock = (name, make) => {
    make(); // once to warm it
    const t = performance.now(), got = make();
    (out.ms[name] ??= []).push(performance.now() - t);
    return got;
  };
  for (const s of JSON.parse(fs.readFileSync(folder + "/cases.json", "utf8"))) {
    if (s.Kind === "hip") {
      const c = cut(s);
      for (const [name, find] of Object.entries({ hough, outline, canny })) (out.finders[name] ??= []).push(clock(name, () => find(c)));
      c.grey.delete();
      continue;
    }
    const raw = fs.readFileSync(`${folder}/${s.Name}.pix`);
    const samples = cv.matFromArray(s.Height, s.Width, cv.CV_16UC1, new Uint16Array(raw.buffer, raw.byteOffset, raw.length / 2));
    out.shafts.push(clock("walls", () => walls(s, samples)));
    samples.delete();
  }
  console.log(JSON.stringify(out));
}

if (cv.Mat) main();
else cv.onRuntimeInitialized = main;
