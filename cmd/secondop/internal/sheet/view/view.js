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
  const camera = new OrthographicCamera();
  camera.up.set(0, 0, 1);
  const eye = { around: -0.6, above: 0.75, zoom: 1 };

  function paint() {
    for (const [skin, name] of skins) skin.color = cssColour(name);
    lines.color = cssColour('--ink');
    scene.background = cssColour('--paper');
  }

  function draw() {
    const w = Math.max(frame.clientWidth, 1);
    const h = Math.round(Math.min(w * 0.62, 520));
    renderer.setSize(w, h, false);
    canvas.style.width = '100%';
    canvas.style.height = h + 'px';
    const half = (reach * 1.05) / eye.zoom;
    const wide = w / h >= 1 ? [half * (w / h), half] : [half, half * (h / w)];
    [camera.left, camera.right, camera.top, camera.bottom] = [-wide[0], wide[0], wide[1], -wide[1]];
    camera.near = 0.1;
    camera.far = reach * 10;
    const out = new Vector3(
      Math.sin(eye.around) * Math.cos(eye.above), -Math.cos(eye.around) * Math.cos(eye.above), Math.sin(eye.above));
    camera.position.copy(middle).addScaledVector(out, reach * 4);
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
      ArrowDown: () => turn(0, -0.1), '+': () => zoom(1.15), '=': () => zoom(1.15), '-': () => zoom(1 / 1.15),
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
