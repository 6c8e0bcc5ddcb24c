// SPDX-License-Identifier: Apache-2.0
//
// By which a body of the model is known in the picture.
import type { ModelPanel, ModelPiece } from '../api/types';

export const keyOfPiece = (piece: ModelPiece) => `${piece.mark}#${piece.instance}`;
export const keyOfPanel = (panel: ModelPanel) => `panel:${panel.structure}#${panel.instance}`;
