// Drawing solids with WebGL 2: each mesh is in a buffer once, and its places in another, which is written anew when
// something moves.

import { floats, shaded } from './scene.js';

const vertex = `#version 300 es
in vec3 point, normal, axisX, axisY, axisZ, origin;
in float tint;
uniform mat3 turn;
uniform vec3 middle;
uniform vec4 window; // how large, and where its middle is
uniform float stretch, deep;
out vec3 facing, place;
out float accented;
void main() {
  place = axisX * point.x + axisY * point.y + axisZ * point.z + origin;
  vec3 n = axisX * normal.x + axisY * normal.y + axisZ * normal.z;
  facing = turn * vec3(n.x, n.y / stretch, n.z);
  vec3 from = place - middle;
  vec3 seen = turn * vec3(from.x, from.y * stretch, from.z);
  gl_Position = vec4(seen.xy * window.xy + window.zw, -seen.z * deep, 1.0);
  accented = tint;
}`;

// Light comes from above, the right and the viewer; what turns away from the viewer gets darker, so that edges show on a
// ground of any shade. What is seen from inside is cut, and flat.
const fragment = `#version 300 es
precision highp float;
in vec3 facing, place;
in float accented;
uniform vec3 colour, accent, ink;
uniform vec4 cut;
uniform bool cutting;
out vec4 seen;
void main() {
  if (cutting && dot(cut.xyz, place) < cut.w) discard;
  vec3 own = mix(colour, accent, accented);
  if (!gl_FrontFacing) {
    seen = vec4(mix(own, ink, 0.36), 1.0);
    return;
  }
  vec3 n = normalize(facing);
  float light = 0.70 + 0.34 * dot(n, normalize(vec3(0.3, 0.6, 0.75)));
  float shine = pow(max(0.0, dot(n, normalize(vec3(0.2, 0.45, 0.87)))), 24.0);
  float edge = pow(1.0 - clamp(n.z, 0.0, 1.0), 2.0);
  seen = vec4(mix(own * light, ink, 0.42 * edge) + 0.10 * shine, 1.0);
}`;

// beside the chain are what a cut would have in its back.
const beside = ['tyre', 'stay'];

function compile(gl, kind, text) {
  const s = gl.createShader(kind);
  gl.shaderSource(s, text);
  gl.compileShader(s);
  if (!gl.getShaderParameter(s, gl.COMPILE_STATUS) && !gl.isContextLost()) throw new Error(gl.getShaderInfoLog(s));
  return s;
}

// stageOn returns what draws on a canvas; null where there is no WebGL 2. again is called when a lost picture can be
// drawn anew.
export function stageOn(canvas, again) {
  const gl = canvas.getContext('webgl2', { antialias: true, alpha: true, premultipliedAlpha: true });
  if (!gl) return null;
  let program, at, names, list = [], all = [];

  function begin() {
    program = gl.createProgram();
    gl.attachShader(program, compile(gl, gl.VERTEX_SHADER, vertex));
    gl.attachShader(program, compile(gl, gl.FRAGMENT_SHADER, fragment));
    gl.linkProgram(program);
    const uniforms = ['turn', 'middle', 'window', 'stretch', 'deep', 'colour', 'accent', 'ink', 'cut', 'cutting'];
    at = Object.fromEntries(uniforms.map((n) => [n, gl.getUniformLocation(program, n)]));
    names = Object.fromEntries(['point', 'normal', 'axisX', 'axisY', 'axisZ', 'origin', 'tint'].map((n) => [n, gl.getAttribLocation(program, n)]));
    gl.enable(gl.DEPTH_TEST);
    gl.frontFace(gl.CW); // the bicycle's axes are left-handed
  }

  function attribute(name, size, stride, offset, each) {
    gl.enableVertexAttribArray(names[name]);
    gl.vertexAttribPointer(names[name], size, gl.FLOAT, false, 4 * stride, 4 * offset);
    gl.vertexAttribDivisor(names[name], each);
  }

  // load takes what is to be drawn from now on.
  function load(items) {
    list = items;
    if (gl.isContextLost()) return; // they are loaded when it is restored
    for (const b of all) { gl.deleteVertexArray(b.array); gl.deleteBuffer(b.corners); gl.deleteBuffer(b.places); }
    all = items.map((item) => {
      const corners = shaded(item.mesh), b = { array: gl.createVertexArray(), corners: gl.createBuffer(), places: gl.createBuffer(), n: corners.length / 6, where: new Float32Array(floats * item.count) };
      gl.bindVertexArray(b.array);
      gl.bindBuffer(gl.ARRAY_BUFFER, b.corners);
      gl.bufferData(gl.ARRAY_BUFFER, corners, gl.STATIC_DRAW);
      attribute('point', 3, 6, 0, 0);
      attribute('normal', 3, 6, 3, 0);
      gl.bindBuffer(gl.ARRAY_BUFFER, b.places);
      gl.bufferData(gl.ARRAY_BUFFER, b.where.byteLength, gl.DYNAMIC_DRAW);
      ['axisX', 'axisY', 'axisZ', 'origin'].forEach((n, i) => attribute(n, 3, floats, 3 * i, 1));
      attribute('tint', 1, floats, 12, 1);
      return b;
    });
    gl.bindVertexArray(null);
  }

  // move puts everything where it stands when the chain has gone on by a phase, pitches; its links run onto the wheel
  // straight, or as they come in a film.
  function move(phase, marked, come) {
    if (gl.isContextLost()) return;
    list.forEach((item, i) => {
      item.place(all[i].where, phase, marked, come);
      gl.bindBuffer(gl.ARRAY_BUFFER, all[i].places);
      gl.bufferSubData(gl.ARRAY_BUFFER, 0, all[i].where);
    });
  }

  // draw draws it: a look, colours by what it is, and a plane that is cut at, or null.
  function draw(look, colours, cut) {
    if (gl.isContextLost()) return;
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.useProgram(program);
    gl.uniformMatrix3fv(at.turn, false, look.turn);
    gl.uniform3fv(at.middle, look.middle);
    gl.uniform4fv(at.window, look.window);
    gl.uniform1f(at.stretch, look.stretch);
    gl.uniform1f(at.deep, look.deep);
    gl.uniform3fv(at.accent, colours.accent);
    gl.uniform3fv(at.ink, colours.ink);
    gl.uniform1i(at.cutting, cut ? 1 : 0);
    gl.uniform4fv(at.cut, cut || [0, 0, 0, 0]);
    list.forEach((item, i) => {
      if (cut && beside.includes(item.what)) return;
      gl.uniform3fv(at.colour, colours[item.what]);
      gl.bindVertexArray(all[i].array);
      gl.drawArraysInstanced(gl.TRIANGLES, 0, all[i].n, item.count);
    });
    gl.bindVertexArray(null);
  }

  begin();
  canvas.addEventListener('webglcontextlost', (e) => { e.preventDefault(); all = []; });
  canvas.addEventListener('webglcontextrestored', () => { begin(); load(list); again(); });
  return { load, move, draw };
}
