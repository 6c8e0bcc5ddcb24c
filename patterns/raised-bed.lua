-- SPDX-License-Identifier: Apache-2.0
-- A raised bed: courses of boards on posts inside the corners, ties across, soil to below the rim.
--
--   x  along the long side, 0 at the left end; of an L the arm along x, then the one along y
--   y  from the front face to the back
--   z  up from the highest ground under it
--
--     ┌──────────────┐       ┌───┐            ═══════ wall ═══════
--     │              │       │   │            │                  │
--     │              │       │   └────────┐   │                  │
--     └──────────────┘       └────────────┘   └──────────────────┘

local measures = shared "measures"

-- Whose posts hold the soil by the ground alone, or hold much of it: without ties, tall, or in parts along its length.
local function pressed(c)
  local high = c.courses * mm(c.board.width)
  return c.shape ~= "rectangle" or high > measures.usual(450, 16) or high > 350 and mm(c.length) > 4000
end

local pattern = {
  name = "raised-bed",
  title = "Raised bed",
  help = "Boards on posts inside the corners: a rectangle, an L, or against a wall; ties, capping, soil in bags and bulk.",
  choices = {
    { name = "length", unit = "length", least = 600, most = 9000, default = 2400, group = "Size", help = "over the boards, along the front" },
    { name = "width", unit = "length", least = 300, most = 4000, group = "Size",
      default = function(c) return 1200 end,
      help = "over the boards, front to back; 1200 is as far as two people reach, 600 one" },
    { name = "shape", unit = "option", options = { "rectangle", "L", "against a wall" }, default = "rectangle", group = "Size",
      help = "in plan; against a wall it has no board at the back" },
    { name = "arm", unit = "length", least = 300, most = 1500, default = 900, group = "Size", help = "width of both arms of an L" },
    { name = "courses", unit = "count", least = 1, most = 6, default = 2, group = "Size", help = "boards above one another" },
    { name = "board", unit = "section", role = "beam", group = "Timber", help = "boards" },
    { name = "post", unit = "section", role = "post", group = "Timber", help = "posts inside the corners" },
    { name = "in_ground", unit = "length", least = 200, most = 1200, group = "Ground",
      default = function(c)
        local long = mm(c.length) > 4000
        return pressed(c) and (long and 850 or 750) or long and 650 or 500
      end,
      help = "how far the posts stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 150, most = 600, default = 250, group = "Ground", help = "width of the post holes" },
    { name = "support_every", unit = "length", least = 300, most = 2400, group = "Timber",
      -- Boards of 22 to 25 bow between posts more than 750 apart, of 45 more than 1200 (common practice): closer, where
      -- each post holds what presses on it.
      default = function(c)
        local most = mm(c.board.thickness) < 30 and 750 or mm(c.board.thickness) < 60 and 1200 or 1800
        return pressed(c) and math.min(most, 900) or most
      end,
      help = "farthest between posts or ties along a board" },
    { name = "mid_posts", unit = "yes-no", default = true, group = "Timber", help = "posts where a long board needs support; else a tie alone" },
    { name = "ties", unit = "yes-no", group = "Timber",
      default = function(c) return mm(c.length) >= 1800 and c.shape == "rectangle" end,
      help = "ties across, where a long board needs support" },
    { name = "tie", unit = "section", role = "purlin", group = "Timber", help = "ties" },
    { name = "capping", unit = "yes-no", default = false, group = "Shape", help = "a board flat round the rim, mitred; of a rectangle" },
    { name = "cap", unit = "section", role = "deck", group = "Timber", help = "capping" },
    { name = "cap_over", unit = "length", least = 0, most = 60, default = 20, group = "Shape", help = "capping beyond the boards" },
    { name = "fill", unit = "length", least = 0, most = 1200, group = "Soil",
      default = function(c) return c.courses * mm(c.board.width) - 50 end, help = "depth of soil" },
    { name = "settle", unit = "number", least = 0, most = 0.5, default = 0.15, group = "Soil", help = "how much more to order, as it settles" },
    { name = "bag", unit = "number", least = 10, most = 1500, default = 60, group = "Soil", help = "litres of a bag of soil" },
  },
}

local function check(c, high)
  if mm(high) > 900 then
    refuse("courses", "a bed " .. print_length(high) .. " high is a retaining wall", "ask an engineer, or make it lower")
  elseif mm(high) > 600 then
    remark("courses", "over 600 mm high the soil's push grows fast: this is for level ground with nothing on it",
      "anything that holds back a bank wants an engineer")
  end
  local t = mm(c.board.thickness)
  local span = t < 30 and 750 or t < 60 and (mm(high) > 450 and 1200 or 1500) or 2000
  if mm(c.support_every) > span then
    remark("support_every", "boards " .. print_length(c.board.thickness) .. " thick bow over " .. print_length(c.support_every) .. " under soil "
      .. print_length(high) .. " high, in time three times as far as at first", "at most " .. print_length(named("span", span)) .. ", or thicker boards")
  end
  if mm(c.fill) > mm(high) then refuse("fill", "the soil would stand above the rim", "give at most " .. print_length(high)) end
  if c.shape == "against a wall" then
    remark("shape", "soil against a wall wets it: keep it off a house wall and below any damp course", "a sheet between, or 100 mm off the wall")
  end
  if c.shape ~= "L" and mm(c.width) > 1200 and c.shape == "rectangle" then
    remark("width", "the middle of " .. print_length(c.width) .. " is hard to reach", "1200 mm or less")
  elseif c.shape == "against a wall" and mm(c.width) > 700 then
    remark("width", "the back of " .. print_length(c.width) .. " is hard to reach from the front", "600 mm or less")
  end
  local least_width = 2 * c.board.thickness + 2 * c.post.width
  if c.shape == "L" and (c.arm < least_width or c.length < 2 * c.arm or c.width < c.arm + 2 * c.post.width) then
    refuse("arm", "an L of these sizes has no room for its posts", "longer arms")
  elseif c.width < least_width or c.length < least_width then
    refuse("width", "there is no room for the posts inside", "give at least " .. print_length(least_width))
  end
end

function pattern.build(c)
  local t, p, high = c.board.thickness, c.post.width, c.courses * c.board.width
  check(c, high)

  -- ---- the ground -----------------------------------------------------------------------------------------------------
  local base = nil
  local lowest = nil
  for _, x in ipairs({ 0, mm(c.length) }) do
    for _, y in ipairs({ 0, mm(c.width) }) do
      local level = ground_at(x, y)
      if not base or level > base then base = level end
      if not lowest or level < lowest then lowest = level end
    end
  end
  if base - lowest > 20 then
    remark("length", "the ground falls " .. print_length(base - lowest) .. " under the bed, which stands level on its high side",
      "let it into the high side, or cut a board to the ground below it at the low side")
  end

  -- ---- outline: each run of boards, with the face of the posts behind it --------------------------------------------------
  local L, W, A = c.length, c.width, c.arm
  -- {where, along, from, to, low side of the boards, way to the inside, a long one}
  local runs
  if c.shape == "L" then
    runs = {
      { "front", "right", 0, L, 0, "back", true },
      { "left", "back", t, W, 0, "right", true },
      { "right end", "back", t, A - t, L - t, "left" },
      { "inner along", "right", A - t, L, A - t, "front", true },
      { "inner across", "back", A, W, A - t, "left", true },
      { "back end", "right", t, A - t, W - t, "front" },
    }
  elseif c.shape == "against a wall" then
    runs = {
      { "front", "right", 0, L, 0, "back", true },
      { "left end", "back", t, W, 0, "right" },
      { "right end", "back", t, W, L - t, "left" },
    }
  else
    runs = {
      { "front", "right", 0, L, 0, "back", true },
      { "back", "right", 0, L, W - t, "front", true },
      { "left end", "back", t, W - t, 0, "right" },
      { "right end", "back", t, W - t, L - t, "left" },
    }
  end

  -- ---- posts inside ------------------------------------------------------------------------------------------------------
  local posts = {}
  local function post(where, x, y)
    local ground = ground_at(x + p / 2, y + p / 2)
    local piece = place { name = "post", where = where, role = "post", duty = "soil", section = c.post, runs = "up", wide = "back",
      length = base + high - ground + c.in_ground, at = { x = x, y = y, z = ground - c.in_ground } }
    post_in_ground(piece, { diameter = c.hole_diameter, depth = c.in_ground })
    table.insert(posts, piece)
    return piece
  end
  if c.shape == "L" then
    post("left front", t, t)
    post("right front", L - t - p, t)
    post("right inner", L - t - p, A - t - p)
    post("inner along", A - t, A - t - p)
    post("inner across", A - t - p, A)
    post("back inner", A - t - p, W - t - p)
    post("left back", t, W - t - p)
  else
    post("left front", t, t)
    post("right front", L - t - p, t)
    local back = c.shape == "rectangle" and W - t - p or W - p
    post("left back", t, back)
    post("right back", L - t - p, back)
  end
  -- A run longer than any board is made of equal parts, each with a post of its own beside the joint.
  local function parts_of(from, to)
    local n = math.ceil((mm(to) - mm(from)) / mm(longest_sold(c.board)) - 1e-9)
    local parts = {}
    for i = 1, n do table.insert(parts, { from + (to - from) * ((i - 1) / n), from + (to - from) * (i / n) }) end
    return parts
  end
  -- Supports between: so many that no board spans more than it may.
  local widest = 0
  local function supports(from, to)
    local n = math.max(0, math.ceil((mm(to) - mm(from)) / mm(c.support_every) - 1e-9) - 1)
    widest = math.max(widest, (mm(to) - mm(from)) / (n + 1))
    local places = {}
    for i = 1, n do table.insert(places, from + (to - from) * (i / (n + 1))) end
    return places
  end
  local mids, tied_at = {}, {}
  for _, run in ipairs(runs) do
    run.parts = parts_of(run[3], run[4])
    local name, along, from, to, low, inside = run[1], run[2], run[3], run[4], run[5], run[6]
    -- A post behind these boards, its low side there; none where another stands.
    local function behind(where, at)
      local x = along == "right" and at or (inside == "right" and low + t or low - p)
      local y = along == "right" and (inside == "back" and low + t or low - p) or at
      for _, other in ipairs(posts) do
        if mm(x) < mm(other.right) + 50 and mm(x) + mm(p) > mm(other.left) - 50 and mm(y) < mm(other.back) + 50
          and mm(y) + mm(p) > mm(other.front) - 50 then return nil end
      end
      return post(where, x, y)
    end
    local off = named("post beside a joint", 45)
    local number = 0
    local parts = run.parts
    for k, part in ipairs(parts) do
      for _, at in ipairs(supports(part[1], part[2])) do
        number = number + 1
        local tied = c.ties and c.shape == "rectangle" and along == "right"
        if tied and name == "front" then table.insert(tied_at, { at, k }) end
        if c.mid_posts or not tied then mids[name .. number] = behind(name .. " middle " .. number, at - p / 2) end
      end
      if k < #parts then
        behind(name .. " before joint " .. k, part[2] - off - p)
        behind(name .. " after joint " .. k, part[2] + off)
      end
    end
  end

  -- What soil and somebody beside it press against one board between two supports, N: at rest, as the checks take it, and
  -- half as much again. Without ties the posts lean on the boards round the corner too.
  local push = 1.5 * 0.5 * (18 * mm(high) / 1000 + 2.5) * mm(c.board.width) / 1000 * widest
    * (c.ties and c.shape == "rectangle" and 1.05 or 1.6)

  -- ---- boards --------------------------------------------------------------------------------------------------------------
  local courses, long = {}, {}
  for course = 1, c.courses do
    local z = base + (course - 1) * c.board.width
    local here = {}
    for _, run in ipairs(runs) do
      local name, along, low = run[1], run[2], run[5]
      local parts = run.parts
      for k, part in ipairs(parts) do
        local from, to = part[1], part[2]
        local piece = place { name = run[7] and "long board" or "end board", where = name .. (#parts > 1 and " part " .. k or "") .. " course " .. course,
          role = "board", duty = "soil", section = c.board, runs = along, wide = "up", length = to - from,
          at = along == "right" and { x = from, y = low, z = z } or { x = low, y = from, z = z } }
        for _, stake in ipairs(posts) do
          if try_meet(piece, stake) then
            local low_side = along == "right" and stake.left or stake.front
            local from_end = math.min(mm(low_side) - mm(from), mm(to) - mm(low_side) - mm(p)) + mm(p) / 2
            if from_end > 80 then
              connect { bodies = { piece, stake }, kinds = { "bolt", "coach bolt" }, count = 1, least = 7.5, load = math.max(1400, 1.2 * push) }
            else
              -- A board that stops at the post: a bolt there would stand too near its end, a bracket in the corner does not.
              connect { bodies = { piece, stake }, kinds = { "angle bracket", "structural screw" }, count = 1, least = 4.5, load = push,
                alike = "post to the end of a board" }
            end
          end
        end
        for _, other in ipairs(here) do rest(piece, { other }, "both fixed to posts beside where they meet") end
        if courses[course - 1] then rest(piece, courses[course - 1], "lies on the board below, both fixed to the posts") end
        table.insert(here, piece)
        if run[1] == "front" or run[1] == "back" then long[name .. k .. " " .. course] = piece end
      end
    end
    courses[course] = here
  end

  -- ---- ties across: just below the rim, beside the middle posts or from board to board --------------------------------------
  if c.ties and c.shape == "rectangle" then
    -- Boards in parts lean more on each tie than those that run on over several, and the more the higher.
    local pull = (#runs[1].parts == 1 and 1.2 or 1.5) * (c.courses > 3 and mm(L) > 4000 and 1.6 or 1)
    for i, place_of in ipairs(tied_at) do
      local at, k = place_of[1], place_of[2]
      local top = { long["front" .. k .. " " .. c.courses], long["back" .. k .. " " .. c.courses] }
      local front, back = mids["front" .. i], mids["back" .. i]
      local x = front and at + p / 2 or at - c.tie.thickness / 2
      local z = base + high - 50 - c.tie.width
      local tie = butt { name = "tie", where = "number " .. i, role = "other", section = c.tie, between = { top[1], top[2] },
        runs = "back", wide = "up", at = { x = x, z = z } }
      for _, other in ipairs({ 1, 2 }) do
        local stake = other == 1 and front or back
        -- Its end is too near for screws into the post beside it: a bracket holds the board, as the soil pulls.
        connect { bodies = { top[other], tie }, kinds = { "angle bracket" }, count = 1, least = 4.5, load = pull * push }
        if stake and try_meet(tie, stake) then rest(tie, { stake }, "held by its brackets to the boards") end
      end
    end
  end

  -- ---- capping -------------------------------------------------------------------------------------------------------------
  if c.capping and c.shape == "rectangle" then
    local o, w, z = c.cap_over, c.cap.width, base + high
    local caps = {}
    local function cap_board(where, along, x, y, length)
      local piece = place { name = "capping", where = where, role = "cap", carries = false, section = c.cap, runs = along,
        wide = along == "right" and "back" or "right", length = length, at = { x = x, y = y, z = z } }
      table.insert(caps, piece)
      return piece
    end
    local sides = { cap_board("left", "back", -1 * o, -1 * o, W + 2 * o), cap_board("right", "back", L + o - w, -1 * o, W + 2 * o) }
    for _, row in ipairs({ { "front", -1 * o }, { "back", W + o - w } }) do
      local n = math.ceil(mm(L + 2 * o) / mm(longest_sold(c.cap)) - 1e-9)
      local before
      for k = 1, n do
        local piece = cap_board(row[1] .. (n > 1 and " part " .. k or ""), "right", (L + 2 * o) * ((k - 1) / n) - o, row[2], (L + 2 * o) / n)
        if before then rest(piece, { before }, "both screwed to the boards below") end
        for i, side in ipairs(sides) do
          if k == (i == 1 and 1 or n) then
            mitre(piece, side)
            rest(piece, { side }, "screwed to posts and boards below")
          end
        end
        before = piece
      end
    end
    for _, piece in ipairs(caps) do
      for _, below in ipairs(courses[c.courses]) do
        if try_meet(piece, below) then fix { through = { piece, below }, count = 2, every = 600, least = 4 } end
      end
      for _, stake in ipairs(posts) do
        if try_meet(piece, stake) then rest(piece, { stake }, "screwed to the boards below") end
      end
    end
  end

  -- ---- soil ------------------------------------------------------------------------------------------------------------------
  local inside
  if c.shape == "L" then
    local arm = mm(A) - 2 * mm(t)
    inside = (mm(L) - 2 * mm(t)) * arm + (mm(W) - 2 * mm(t)) * arm - arm * arm
  elseif c.shape == "against a wall" then
    inside = (mm(L) - 2 * mm(t)) * (mm(W) - mm(t))
  else
    inside = (mm(L) - 2 * mm(t)) * (mm(W) - 2 * mm(t))
  end
  local volume = inside * mm(c.fill) / 1e9
  local order = volume * (1 + c.settle)
  remark("fill", string.format("it takes %.3f m³ of soil (%.4f m² inside); order %.3f m³ as it settles: %d bags of %g l, or in bulk",
    volume, inside / 1e6, order, math.ceil(order * 1000 / c.bag - 1e-9), c.bag),
    "soil is in no yard's price list here: it is not in the purchase")
end

return pattern
