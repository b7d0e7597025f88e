// Turns a solid: drag, wheel, pinch, arrow keys, double-click. Needs WebGL 1 and nothing else.
// One viewer to a box that holds a canvas, and buttons with data-view; `load` shows a solid in place of the one before.
class SolidViewer {
  constructor(box) {
    this.box = box;
    this.canvas = box.querySelector("canvas");
    var gl = this.gl = this.canvas.getContext("webgl", { antialias: true, alpha: true, preserveDrawingBuffer: true });
    if (!gl || !gl.getExtension("OES_element_index_uint")) return;
    this.solid = this.program(
      "attribute vec3 point;attribute vec3 normal;uniform mat4 look;uniform mat3 turn;varying vec3 face;" +
      "void main(){face=turn*normal;gl_Position=look*vec4(point,1.0);}",
      "precision mediump float;varying vec3 face;void main(){vec3 n=normalize(face);if(!gl_FrontFacing)n=-n;" +
      "float sky=0.5+0.5*n.y;float key=max(dot(n,normalize(vec3(-0.45,0.65,0.62))),0.0);" +
      "float rim=pow(1.0-max(n.z,0.0),3.0);float gloss=pow(max(dot(n,normalize(vec3(-0.24,0.42,0.87))),0.0),36.0);" +
      "vec3 c=vec3(0.36,0.41,0.45)*(0.42+0.38*sky)+vec3(0.52,0.55,0.57)*key*0.62+vec3(0.16)*gloss+vec3(0.10,0.13,0.15)*rim;" +
      "gl_FragColor=vec4(c,1.0);}");
    this.lines = this.program(
      "attribute vec3 point;uniform mat4 look;void main(){vec4 p=look*vec4(point,1.0);p.z-=0.0004*p.w;gl_Position=p;}",
      "precision mediump float;void main(){gl_FragColor=vec4(0.07,0.12,0.15,1.0);}");
    if (!this.solid || !this.lines) return;
    this.buffers = { corner: gl.createBuffer(), shade: gl.createBuffer(), sharp: gl.createBuffer() };
    this.listen();
  }

  // Corners in threes, Float32Array; indices in threes, outward side counter-clockwise, Uint32Array. The way it is
  // turned stays as it is.
  load(points, triangles) {
    if (!this.buffers) return;
    var gl = this.gl, made = SolidViewer.shaded(points, triangles);
    for (var name in this.buffers) {
      gl.bindBuffer(gl.ARRAY_BUFFER, this.buffers[name]);
      gl.bufferData(gl.ARRAY_BUFFER, made[name], gl.STATIC_DRAW);
    }
    this.corners = triangles.length;
    this.ends = made.sharp.length / 3;
    this.stout = made.stout;
    if (this.zoom) { this.draw(); return; }
    this.box.classList.add("running");
    this.box.querySelectorAll("[hidden]").forEach(function (part) { part.hidden = false; });
    this.reset("quarter");
  }

  program(vertex, fragment) {
    var gl = this.gl, made = gl.createProgram();
    [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]].forEach(function (part) {
      var shader = gl.createShader(part[0]);
      gl.shaderSource(shader, part[1]);
      gl.compileShader(shader);
      gl.attachShader(made, shader);
    });
    gl.linkProgram(made);
    return gl.getProgramParameter(made, gl.LINK_STATUS) ? made : null;
  }

  // Yaw about the upright axis, then pitch; on the screen x right, y up, z towards the eye.
  reset(name) {
    var view = {
      quarter: [-0.62, 0.5], side: [0, 0], top: [0, Math.PI / 2], bottom: [0, -Math.PI / 2], front: [-Math.PI / 2, 0]
    }[name];
    this.yaw = view[0];
    this.pitch = view[1];
    this.zoom = 1;
    this.draw();
  }

  draw() {
    if (!this.zoom) return;
    var gl = this.gl, canvas = this.canvas;
    var ratio = Math.min(window.devicePixelRatio || 1, 2);
    var width = Math.max(1, Math.round(canvas.clientWidth * ratio));
    var height = Math.max(1, Math.round(canvas.clientHeight * ratio));
    if (canvas.width !== width || canvas.height !== height) { canvas.width = width; canvas.height = height; }
    gl.viewport(0, 0, width, height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    var cy = Math.cos(this.yaw), sy = Math.sin(this.yaw), cp = Math.cos(this.pitch), sp = Math.sin(this.pitch);
    // Rows: screen right, screen up, towards the eye; the body is seen from port with its nose at the left.
    var rows = [
      [cy, sy, 0],
      [-sy * sp, cy * sp, cp],
      [sy * cp, -cy * cp, sp]
    ];
    var turn = new Float32Array([rows[0][0], rows[1][0], rows[2][0], rows[0][1], rows[1][1], rows[2][1], rows[0][2], rows[1][2], rows[2][2]]);
    var aspect = width / height, focal = 3.2, distance = Math.max(focal * 1.12, focal * 1.12 / Math.max(aspect, 0.01)) / this.zoom;
    var near = Math.max(distance - 1.2, 0.02), far = distance + 1.2;
    var zz = -(far + near) / (far - near), zw = -2 * far * near / (far - near);
    var fit = Math.min(aspect, 2.1, 1.05 / this.stout);
    var fx = focal * fit / aspect, fy = focal * fit;
    var look = new Float32Array(16);
    for (var c = 0; c < 3; c++) {
      look[4 * c] = fx * rows[0][c];
      look[4 * c + 1] = fy * rows[1][c];
      look[4 * c + 2] = zz * rows[2][c];
      look[4 * c + 3] = -rows[2][c];
    }
    look[14] = -zz * distance + zw;
    look[15] = distance;

    gl.useProgram(this.solid);
    gl.uniformMatrix4fv(gl.getUniformLocation(this.solid, "look"), false, look);
    gl.uniformMatrix3fv(gl.getUniformLocation(this.solid, "turn"), false, turn);
    this.attribute(this.solid, "point", this.buffers.corner);
    this.attribute(this.solid, "normal", this.buffers.shade);
    gl.drawArrays(gl.TRIANGLES, 0, this.corners);
    gl.useProgram(this.lines);
    gl.uniformMatrix4fv(gl.getUniformLocation(this.lines, "look"), false, look);
    this.attribute(this.lines, "point", this.buffers.sharp);
    gl.drawArrays(gl.LINES, 0, this.ends);
  }

  attribute(owner, name, data) {
    var gl = this.gl, place = gl.getAttribLocation(owner, name);
    gl.bindBuffer(gl.ARRAY_BUFFER, data);
    gl.enableVertexAttribArray(place);
    gl.vertexAttribPointer(place, 3, gl.FLOAT, false, 0, 0);
  }

  turnBy(dx, dy) {
    this.yaw -= dx;
    this.pitch = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, this.pitch + dy));
    this.draw();
  }

  zoomBy(factor) { this.zoom = Math.max(0.5, Math.min(8, this.zoom * factor)); this.draw(); }

  listen() {
    var canvas = this.canvas, box = this.box, fingers = new Map();
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      fingers.set(event.pointerId, [event.clientX, event.clientY]);
    });
    function spanOf() {
      var two = Array.from(fingers.values());
      return Math.hypot(two[0][0] - two[1][0], two[0][1] - two[1][1]);
    }
    canvas.addEventListener("pointermove", (event) => {
      var before = fingers.get(event.pointerId);
      if (!before) return;
      var span = fingers.size === 2 ? spanOf() : 0;
      fingers.set(event.pointerId, [event.clientX, event.clientY]);
      if (fingers.size === 2 && span > 0) this.zoomBy(spanOf() / span);
      else this.turnBy((event.clientX - before[0]) * 0.008, (event.clientY - before[1]) * 0.008);
    });
    ["pointerup", "pointercancel"].forEach(function (name) {
      canvas.addEventListener(name, function (event) { fingers.delete(event.pointerId); });
    });
    canvas.addEventListener("wheel", (event) => {
      event.preventDefault();
      this.zoomBy(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.03 : 0.001)));
    }, { passive: false });
    canvas.addEventListener("dblclick", () => this.reset("quarter"));
    canvas.addEventListener("keydown", (event) => {
      var step = 0.12;
      var moves = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
      if (moves[event.key]) this.turnBy(moves[event.key][0], moves[event.key][1]);
      else if (event.key === "+" || event.key === "=") this.zoomBy(1.2);
      else if (event.key === "-") this.zoomBy(1 / 1.2);
      else if (event.key === "Home") this.reset("quarter");
      else return;
      event.preventDefault();
    });
    box.querySelectorAll("button[data-view]").forEach((button) => {
      button.addEventListener("click", () => this.reset(button.getAttribute("data-view")));
    });
    canvas.addEventListener("webglcontextlost", function () { box.classList.remove("running"); });
    ["resize", "beforeprint", "afterprint"].forEach((name) => window.addEventListener(name, () => this.draw()));
  }

  // What is drawn of a mesh: corners about the middle in units of its half diagonal, a normal for each, ends of its sharp
  // edges; and how stout it is.
  static shaded(points, triangles) {
    // Middle and size of the body.
    var low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
    for (var i = 0; i < points.length; i++) {
      var a = i % 3;
      if (points[i] < low[a]) low[a] = points[i];
      if (points[i] > high[a]) high[a] = points[i];
    }
    var middle = [0, 1, 2].map(function (k) { return (low[k] + high[k]) / 2; });
    var radius = Math.hypot(high[0] - low[0], high[1] - low[1], high[2] - low[2]) / 2;

    var stout = Math.max(high[1] - low[1], high[2] - low[2]) / 2 / radius;

    // One normal a corner: the mean over the faces round it that bend by less than the crease angle, each
    // weighed by its angle there, so that edges stay sharp and the skin between them looks smooth.
    var crease = Math.cos(32 * Math.PI / 180);
    var count = triangles.length, faces = count / 3, normals = new Float32Array(count);
    var corner = new Float32Array(count * 3), shade = new Float32Array(count * 3);
    var weights = new Float32Array(count), ring = new Uint32Array(points.length / 3 + 1);
    function edge(p, q) {
      return [points[3 * q] - points[3 * p], points[3 * q + 1] - points[3 * p + 1], points[3 * q + 2] - points[3 * p + 2]];
    }
    for (var f = 0; f < faces; f++) {
      var t = [triangles[3 * f], triangles[3 * f + 1], triangles[3 * f + 2]];
      var u = edge(t[0], t[1]), v = edge(t[0], t[2]);
      var n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
      var size = Math.hypot(n[0], n[1], n[2]) || 1;
      for (var k = 0; k < 3; k++) {
        normals[3 * f + k] = n[k] / size;
        ring[t[k] + 1]++;
        var e1 = edge(t[k], t[(k + 1) % 3]), e2 = edge(t[k], t[(k + 2) % 3]);
        var lengths = Math.hypot(e1[0], e1[1], e1[2]) * Math.hypot(e2[0], e2[1], e2[2]) || 1;
        var cosine = (e1[0] * e2[0] + e1[1] * e2[1] + e1[2] * e2[2]) / lengths;
        weights[3 * f + k] = Math.acos(Math.max(-1, Math.min(1, cosine)));
      }
    }
    for (i = 1; i < ring.length; i++) ring[i] += ring[i - 1];
    var fill = ring.slice(), around = new Uint32Array(count);
    for (i = 0; i < count; i++) around[fill[triangles[i]]++] = i;
    for (i = 0; i < count; i++) {
      var own = 3 * Math.floor(i / 3), sum = [0, 0, 0], at = triangles[i];
      for (var j = ring[at]; j < ring[at + 1]; j++) {
        var other = 3 * Math.floor(around[j] / 3);
        var bend = normals[own] * normals[other] + normals[own + 1] * normals[other + 1] + normals[own + 2] * normals[other + 2];
        if (bend >= crease) for (k = 0; k < 3; k++) sum[k] += weights[around[j]] * normals[other + k];
      }
      var length = Math.hypot(sum[0], sum[1], sum[2]);
      for (k = 0; k < 3; k++) {
        corner[3 * i + k] = (points[3 * at + k] - middle[k]) / radius;
        shade[3 * i + k] = length > 0 ? sum[k] / length : normals[own + k];
      }
    }

    // Sharp edges as lines: the two faces of an edge bend by more than the crease angle.
    var seen = new Map(), sharp = [];
    for (i = 0; i < count; i++) {
      var next = i % 3 === 2 ? i - 2 : i + 1;
      var p = triangles[i], q = triangles[next];
      var key = p < q ? p * 4294967296 + q : q * 4294967296 + p;
      if (!seen.has(key)) { seen.set(key, i); continue; }
      var one = 3 * Math.floor(seen.get(key) / 3), two = 3 * Math.floor(i / 3);
      var fold = normals[one] * normals[two] + normals[one + 1] * normals[two + 1] + normals[one + 2] * normals[two + 2];
      if (fold < crease) {
        for (k = 0; k < 3; k++) sharp.push(corner[3 * i + k]);
        for (k = 0; k < 3; k++) sharp.push(corner[3 * next + k]);
      }
    }
    return { corner: corner, shade: shade, sharp: new Float32Array(sharp), stout: stout };
  }
}
