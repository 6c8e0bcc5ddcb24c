// SPDX-License-Identifier: Apache-2.0
#include "base/source_dir_for_tests.h"

const char* garthwright::source_dir() { return GARTHWRIGHT_SOURCE_DIR; }
