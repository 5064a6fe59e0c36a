// The 3-D view of the setup sheet. It reads the pieces from the element
// #view-data, draws them in #view, and leaves the drawn picture in place where
// WebGL is missing. Lengths are mm, Z up, X right, Y away from the operator.
import {
  AmbientLight, BufferAttribute, BufferGeometry, Color, DirectionalLight, EdgesGeometry, Group,
  LineBasicMaterial, LineSegments, Mesh, MeshLambertMaterial, OrthographicCamera, Scene, Vector3, WebGLRenderer,
} from 'three';

const CREASE_DEG = 25; // an edge is drawn where two faces meet at more than this

function bytes(base64) {
  const text = atob(base64);
  const out = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) out[i] = text.charCodeAt(i);
  return out.buffer;
}

function geometryOf(piece) {
  const g = new BufferGeometry();
  g.setAttribute('position', new BufferAttribute(new Float32Array(bytes(piece.positions)), 3));
  g.setIndex(new BufferAttribute(new Uint32Array(bytes(piece.indices)), 1));
  const flat = g.toNonIndexed(); // each facet keeps its own normal: the edges are sharp
  flat.computeVertexNormals();
  return flat;
}

function cssColour(name) {
  return new Color(getComputedStyle(document.documentElement).getPropertyValue(name).trim());
}

function start() {
  const frame = document.getElementById('view');
  const source = document.getElementById('view-data');
  if (!frame || !source) return;
  const data = JSON.parse(source.textContent);

  let renderer;
  try {
    renderer = new WebGLRenderer({ antialias: true, preserveDrawingBuffer: true });
  } catch (e) {
    frame.dataset.state = 'picture';
    return;
  }
  renderer.setPixelRatio(Math.min(window.devicePixelRatio || 1, 2));
  const canvas = renderer.domElement;
  canvas.tabIndex = 0;
  canvas.setAttribute('role', 'img');
  canvas.setAttribute('aria-label', data.says);
  frame.append(canvas);
  frame.dataset.state = 'view';

  const scene = new Scene();
  const sun = new DirectionalLight(0xffffff, 2.2);
  scene.add(new AmbientLight(0xffffff, 1.1), sun);
  const groups = {};
  const skins = [];
  const lines = new LineBasicMaterial();
  for (const piece of data.pieces) {
    const g = geometryOf(piece);
    const skin = new MeshLambertMaterial({ polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
    skins.push([skin, '--view-' + piece.role]);
    const group = new Group();
    group.add(new Mesh(g, skin), new LineSegments(new EdgesGeometry(g, CREASE_DEG), lines));
    scene.add(group);
    (groups[piece.role] ||= []).push(group);
  }

  const [lo, hi] = [new Vector3(...data.box[0]), new Vector3(...data.box[1])];
  const middle = lo.clone().add(hi).multiplyScalar(0.5);
  const reach = lo.distanceTo(hi) / 2;
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((n) => new Vector3(
    (n & 1 ? hi : lo).x, (n & 2 ? hi : lo).y, (n & 4 ? hi : lo).z).sub(middle));
  const camera = new OrthographicCamera();
  camera.up.set(0, 0, 1);
  const first = { around: -0.6, above: 0.75, zoom: 1 };
  const eye = { ...first };

  function direction(from) {
    return new Vector3(
      Math.sin(from.around) * Math.cos(from.above), -Math.cos(from.around) * Math.cos(from.above), Math.sin(from.above));
  }

  // Half the height that shows, in mm: the box as seen first fills the frame.
  function halfHeight(aspect) {
    const right = new Vector3(Math.cos(first.around), Math.sin(first.around), 0);
    const up = direction(first).cross(right);
    let half = 0;
    for (const c of corners) half = Math.max(half, Math.abs(c.dot(right)) / aspect, Math.abs(c.dot(up)));
    return half * 1.06;
  }

  function paint() {
    for (const [skin, name] of skins) skin.color = cssColour(name);
    lines.color = cssColour('--ink');
    scene.background = cssColour('--paper');
  }

  function draw() {
    const w = Math.max(frame.clientWidth, 1);
    const h = Math.round(Math.min(w * 0.6, 520));
    renderer.setSize(w, h, false);
    canvas.style.width = '100%';
    canvas.style.height = h + 'px';
    const half = halfHeight(w / h) / eye.zoom;
    const wide = [half * (w / h), half];
    [camera.left, camera.right, camera.top, camera.bottom] = [-wide[0], wide[0], wide[1], -wide[1]];
    camera.near = 0.1;
    camera.far = reach * 10;
    camera.position.copy(middle).addScaledVector(direction(eye), reach * 4);
    camera.lookAt(middle);
    camera.updateProjectionMatrix();
    sun.position.copy(camera.position).add(new Vector3(reach, 0, reach * 2));
    renderer.render(scene, camera);
    frame.dataset.drawn = String(Number(frame.dataset.drawn || 0) + 1);
  }

  // The moving jaw opens along −Y; the part lifts once there is room for it.
  const slide = document.getElementById('view-open');
  function open() {
    const share = slide ? Number(slide.value) / 100 : 0;
    for (const g of groups.moving || []) g.position.y = -data.travel * Math.min(share * 2, 1);
    for (const g of groups.part || []) g.position.z = data.lift * Math.max(share * 2 - 1, 0);
    frame.dataset.open = String(share);
    draw();
  }
  if (slide) slide.addEventListener('input', open);

  function turn(dx, dy) {
    eye.around -= dx;
    eye.above = Math.min(Math.max(eye.above + dy, -0.2), Math.PI / 2 - 0.001);
    draw();
  }
  function zoom(by) {
    eye.zoom = Math.min(Math.max(eye.zoom * by, 0.5), 12);
    draw();
  }

  const fingers = new Map();
  let spread = 0;
  canvas.addEventListener('pointerdown', (e) => {
    canvas.setPointerCapture(e.pointerId);
    fingers.set(e.pointerId, [e.clientX, e.clientY]);
    spread = 0;
  });
  canvas.addEventListener('pointermove', (e) => {
    const last = fingers.get(e.pointerId);
    if (!last) return;
    fingers.set(e.pointerId, [e.clientX, e.clientY]);
    if (fingers.size === 1) {
      turn((e.clientX - last[0]) / 150, (e.clientY - last[1]) / 150);
    } else {
      const [a, b] = [...fingers.values()];
      const now = Math.hypot(a[0] - b[0], a[1] - b[1]);
      if (spread) zoom(now / spread);
      spread = now;
    }
  });
  for (const end of ['pointerup', 'pointercancel']) canvas.addEventListener(end, (e) => fingers.delete(e.pointerId));
  canvas.addEventListener('wheel', (e) => {
    if (!e.ctrlKey && document.activeElement !== canvas) return; // scrolling the page stays scrolling
    e.preventDefault();
    zoom(Math.exp(-e.deltaY / 500));
  }, { passive: false });
  canvas.addEventListener('keydown', (e) => {
    const keys = {
      ArrowLeft: () => turn(-0.1, 0), ArrowRight: () => turn(0.1, 0), ArrowUp: () => turn(0, 0.1),
      ArrowDown: () => turn(0, -0.1), Home: () => { Object.assign(eye, first); draw(); },
      '+': () => zoom(1.15), '=': () => zoom(1.15), '-': () => zoom(1 / 1.15),
    };
    if (!keys[e.key]) return;
    e.preventDefault();
    keys[e.key]();
  });

  new ResizeObserver(draw).observe(frame);
  window.matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => { paint(); draw(); });
  paint();
  open();
}

start();
