// SPDX-License-Identifier: Apache-2.0
// The Khronos validator on one file: node validate_gltf.mjs model.glb. Prints its messages; exits 1 when it finds an
// error or a warning.
import { readFile } from 'node:fs/promises';
import validator from 'gltf-validator';

const report = await validator.validateBytes(new Uint8Array(await readFile(process.argv[2])));
const { numErrors, numWarnings, messages } = report.issues;
for (const message of messages.filter((one) => one.severity <= 1))
  console.log(`${message.code} at ${message.pointer ?? message.offset}: ${message.message}`);
console.log(`${numErrors} errors, ${numWarnings} warnings; ${report.info.totalTriangleCount} triangles`);
process.exit(numErrors + numWarnings === 0 && report.info.totalTriangleCount > 0 ? 0 : 1);
