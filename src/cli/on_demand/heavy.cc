// SPDX-License-Identifier: Apache-2.0
#include "cli/on_demand/heavy.h"

extern "C" __attribute__((visibility("default"))) const garthwright::cli::Heavy garthwright_heavy;
const garthwright::cli::Heavy garthwright_heavy{
    garthwright::solid::kernel_kept_shape, garthwright::solid::kernel_measures, garthwright::solid::kernel_mesh,
    garthwright::exchange::step_bytes,     garthwright::sheets::pdf_bytes,
};
