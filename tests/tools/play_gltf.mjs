// SPDX-License-Identifier: Apache-2.0
// The order of work as three.js plays it: node play_gltf.mjs model.glb PIECES. At the beginning nothing is seen, at the
// end every piece is, where the file says that it stands; each that moves has a mark or is a panel. Exits 1 else.
import { readFile } from 'node:fs/promises';
import { AnimationMixer, LoopOnce, Vector3 } from '../../web/node_modules/three/build/three.module.js';
import { GLTFLoader } from '../../web/node_modules/three/examples/jsm/loaders/GLTFLoader.js';

globalThis.self ??= globalThis;
const bytes = await readFile(process.argv[2]);
const wanted = Number(process.argv[3]);
const buffer = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength);
const gltf = await new Promise((done, failed) => new GLTFLoader().parse(buffer, '', done, failed));

const faults = [];
const expect = (held, words) => held || faults.push(words);
const pieces = [];
gltf.scene.traverse((node) => node.isMesh && pieces.push(node));
expect(pieces.length === wanted, `${pieces.length} pieces, not ${wanted}`);
const places = pieces.map((piece) => piece.getWorldPosition(new Vector3()));
expect(gltf.animations.length === 1, `${gltf.animations.length} animations`);

const [clip] = gltf.animations;
const mixer = new AnimationMixer(gltf.scene);
const action = mixer.clipAction(clip);
action.setLoop(LoopOnce, 1);
action.clampWhenFinished = true;
action.play();
const size = (piece) => piece.getWorldScale(new Vector3()).length();
let seen = 0;
for (let time = 0; time <= clip.duration; time += 0.1) {
  mixer.setTime(time);
  gltf.scene.updateMatrixWorld(true);
  const now = pieces.filter((piece) => size(piece) > 0.5).length;
  expect(now >= seen, `at ${time.toFixed(1)} s a piece is gone again`);
  if (time === 0) expect(now === 0, `${now} pieces stand at the beginning`);
  seen = now;
}
mixer.setTime(clip.duration);
gltf.scene.updateMatrixWorld(true);
pieces.forEach((piece, i) => {
  expect(size(piece) > 0.5, `${piece.name} is never put in`);
  expect(piece.getWorldPosition(new Vector3()).distanceTo(places[i]) < 1e-4, `${piece.name} ends off its place`);
  expect(piece.userData.mark !== undefined || piece.userData.panel !== undefined, `${piece.name} has no mark`);
});
for (const fault of faults) console.log(fault);
console.log(`${pieces.length} pieces in ${clip.duration.toFixed(1)} s`);
process.exit(faults.length === 0 ? 0 : 1);
