// SPDX-License-Identifier: Apache-2.0
// Holds a bill of materials to CycloneDX 1.5, strictly: node validate_sbom.mjs FILE. Says what is wrong and exits 1.
import { readFileSync } from 'node:fs';
import { Spec, Validation } from '@cyclonedx/cyclonedx-library';

const wrong = await new Validation.JsonStrictValidator(Spec.Version.v1dot5).validate(readFileSync(process.argv[2], 'utf8'));
if (wrong !== null) console.error(JSON.stringify(wrong, null, 1));
process.exit(wrong === null ? 0 : 1);
