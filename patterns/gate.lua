-- SPDX-License-Identifier: Apache-2.0
-- A garden gate between two posts: boards on ledges with braces that rise from the hinge side, in a frame or without, one
-- leaf or a pair.
--
--   x  along the opening, 0 at the inner face of the left post
--   y  from the front, 0 in the middle of the posts
--   z  up from the ground in the middle of the opening
--
--      ┃┌───────────┐┃
--      ┃│ ledge ════│┃     brace: foot on the hinge side, head toward the latch, pressed by the
--      ┃│        ／ │┃     latch side's weight; the other way round it hangs on its nails
--      ┃│ ═════／══ │┃
--      ┃│    ／     │┃
--      ╨└───────────┘╨

local kDensity = 600e-9      -- kg/mm³, damp softwood (common practice)
local kPerson = 785          -- N, somebody of 80 kg on the latch end

local pattern = {
  name = "gate",
  title = "Gate",
  help = "Ledged and braced, framed, or picket; one leaf or a pair; posts, hinges and latch.",
  choices = {
    { name = "opening", unit = "length", least = 500, most = 4200, default = 1000, group = "Size", help = "clear between the posts" },
    { name = "kind", unit = "option", options = { "ledged and braced", "framed", "picket" }, group = "Kind",
      default = function(c) return "ledged and braced" end, help = "boards on ledges, boards over a frame of stiles and rails, or pales with gaps" },
    { name = "leaves", unit = "count", least = 1, most = 2, group = "Kind",
      default = function(c) return mm(c.opening) > 1500 and 2 or 1 end, help = "1, or 2 for a pair" },
    { name = "hinge", unit = "option", options = { "left", "right" }, default = "left", group = "Kind", help = "hinge side of a single leaf, seen from the front" },
    { name = "opens", unit = "option", options = { "back", "front" }, default = "back", group = "Kind",
      help = "the way it swings; never out over a public way" },
    { name = "leaf_height", unit = "length", least = 500, most = 2200, group = "Size",
      default = function(c) return c.kind == "picket" and 950 or 1500 end,
      help = "of the leaf; a solid one much taller than 1500 sways more than its posts bear, if no fence beside it breaks the wind" },
    { name = "clearance", unit = "length", least = 10, most = 250, default = 50, group = "Size",
      help = "under the leaf: 25 over paving, 75 to 100 over gravel" },
    { name = "hinge_gap", unit = "length", least = 2, most = 30, default = 6, group = "Size", help = "between post and leaf at the hinges" },
    { name = "latch_gap", unit = "length", least = 4, most = 40, default = 10, group = "Size", help = "between leaf and post at the latch" },
    { name = "meeting_gap", unit = "length", least = 4, most = 40, default = 12, group = "Size", help = "between the leaves of a pair" },
    { name = "board", unit = "section", role = "matched", group = "Timber", help = "boards, by the width that each covers" },
    { name = "pale", unit = "section", role = "pale", group = "Timber", help = "pales of a picket gate" },
    { name = "pale_gap", unit = "length", least = 10, most = 120, default = 60, group = "Kind", help = "widest gap between pales; it is evened out" },
    { name = "ledge", unit = "section", role = "ledge", group = "Timber", help = "ledges" },
    { name = "brace", unit = "section", role = "ledge_brace", group = "Timber", help = "braces" },
    { name = "stile", unit = "section", role = "frame", group = "Timber", help = "stiles and rails of a framed gate" },
    { name = "ledges", unit = "count", least = 2, most = 4, group = "Kind",
      default = function(c) return mm(c.leaf_height) > 1200 and 3 or 2 end, help = "how many ledges, or rails of a frame" },
    { name = "ledge_in", unit = "length", least = 0, most = 60, default = 20, group = "Kind", help = "ledges short of the leaf's edges" },
    { name = "bottom_ledge", unit = "length", least = 80, most = 400, default = 200, group = "Kind", help = "middle of the bottom ledge above the leaf's foot" },
    { name = "top_ledge", unit = "length", least = 80, most = 400, default = 150, group = "Kind", help = "middle of the top ledge below the leaf's top" },
    { name = "least_angle", unit = "number", least = 30, most = 70, default = 45, group = "Kind", help = "flattest that a brace may stand, degrees from level" },
    { name = "brace_in", unit = "length", least = 0, most = 200, default = 60, group = "Kind", help = "middle of a brace's ends from the ledges' ends" },
    { name = "post", unit = "section", role = "gate_post", group = "Timber", help = "posts" },
    { name = "post_top", unit = "length", least = 0, most = 600, default = 50, group = "Size", help = "posts above the leaf" },
    { name = "in_ground", unit = "length", least = 400, most = 1800, group = "Ground",
      default = function(c) return mm(c.leaf_height) > 1200 and 1220 or 1100 end,
      help = "how far the posts stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 200, most = 900, default = 300, group = "Ground", help = "width of the post holes" },
    { name = "gravel", unit = "length", least = 0, most = 300, default = 100, group = "Ground", help = "compacted gravel under each post" },
  },
}

local function deg(angle) return string.format("%.0f degrees", angle) end

-- One leaf from `from`, its hinges on the side `hinge`, on the post `on`, latched to `shut` (nothing: to the other leaf).
local function build_leaf(c, name, from, width, foot, hinge, on, shut)
  local framed, picket = c.kind == "framed", c.kind == "picket"
  local board = picket and c.pale or c.board
  local back_thick = framed and c.stile.thickness or c.ledge.thickness
  -- Hinges stand on the face that looks the way it opens: that face lies in line with the posts'.
  local thick = board.thickness + back_thick
  local y = c.opens == "back" and c.post.thickness / 2 - thick or -1 * c.post.thickness / 2
  local group = name
  local pieces = {}
  local function add(piece) table.insert(pieces, piece) return piece end
  local H, W, to = c.leaf_height, width, from + width
  local mass = 0
  local function weigh(piece) mass = mass + mm(piece.length) * mm(piece.width) * mm(piece.thickness) * kDensity end
  local place_of = name == "leaf" and "" or name .. " "

  -- ---- ledges, or stiles and rails -----------------------------------------------------------------------------------
  local ledges = {}
  local section = framed and c.stile or c.ledge
  local ledge_y = y + board.thickness
  local left_stile, right_stile
  if framed then
    local function stile(where, x)
      local piece = add(place { name = "stile", where = place_of .. where, role = "frame", group = group, section = c.stile, runs = "up",
        wide = "right", length = H, at = { x = x, y = ledge_y, z = foot } })
      weigh(piece)
      return piece
    end
    left_stile, right_stile = stile("left", from), stile("right", to - c.stile.width)
  end
  for i = 1, c.ledges do
    local low, high = c.bottom_ledge, H - c.top_ledge
    if framed then low, high = c.stile.width / 2, H - c.stile.width / 2 end
    local middle = low + (high - low) * ((i - 1) / (c.ledges - 1))
    local where = i == 1 and "bottom" or i == c.ledges and "top" or "middle " .. (i - 1)
    local piece
    if framed then
      piece = butt { name = "rail", where = place_of .. where, role = "frame", group = group, section = section,
        between = { left_stile, right_stile }, runs = "right", wide = "up", at = { y = ledge_y, z = foot + middle - section.width / 2 } }
      for _, side in ipairs({ left_stile, right_stile }) do
        connect { bodies = { side, piece }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 300 }
      end
    else
      piece = place { name = "ledge", where = place_of .. where, role = "rail", group = group, section = section, runs = "right", wide = "up",
        length = W - 2 * c.ledge_in, at = { x = from + c.ledge_in, y = ledge_y, z = foot + middle - section.width / 2 } }
    end
    add(piece)
    weigh(piece)
    table.insert(ledges, piece)
  end

  -- ---- boards or pales -----------------------------------------------------------------------------------------------
  local boards = {}
  local function put(x, ripped)
    local piece = add(place { name = picket and "pale" or "board", where = place_of .. "number " .. (#boards + 1), role = "board",
      duty = "screen", carries = false, group = group, section = board, runs = "up", wide = "right", length = H, ripped = ripped,
      at = { x = x, y = y, z = foot } })
    weigh(piece)
    for _, ledge in ipairs(ledges) do
      if try_meet(piece, ledge) then fix { through = { piece, ledge }, kind = { "screw", "nail" }, count = picket and 1 or 2 } end
    end
    for _, stile in ipairs({ left_stile, right_stile }) do
      if try_meet(piece, stile) then fix { through = { piece, stile }, kind = { "screw", "nail" }, count = 3, every = 400 } end
    end
    if boards[#boards] then rest(piece, { boards[#boards] }, "fixed to the ledges") end
    table.insert(boards, piece)
  end
  if picket then
    local w, g = mm(board.width), mm(c.pale_gap)
    local n = math.max(2, math.ceil((mm(W) + g) / (w + g) - 1e-9))
    local gap = (W - n * board.width) / (n - 1)
    for k = 0, n - 1 do put(from + k * (gap + board.width)) end
  else
    local n = math.ceil(mm(W) / mm(board.width) - 1e-9)
    local edge = n > 1 and derive("edge board", (mm(W) - (n - 2) * mm(board.width)) / 2, "(leaf − " .. (n - 2) .. " boards) / 2", W, board.width)
      or W
    local x = from
    for k = 1, n do
      local outer = k == 1 or k == n
      put(x, outer and mm(edge) < mm(board.width) - 0.05 and edge or nil)
      x = x + (outer and edge or board.width)
    end
  end

  -- ---- braces ----------------------------------------------------------------------------------------------------------
  local flattest, told = 90, false
  local compression, longest = 0, 0
  for i = 1, c.ledges - 1 do
    local low, high = ledges[i], ledges[i + 1]
    local rise = mm(high.bottom) - mm(low.top)
    local first, last = framed and left_stile.right or low.left, framed and right_stile.left or low.right
    local inset = framed and 0 or mm(c.brace_in)
    local bw = mm(c.brace.width)
    local room = mm(last) - mm(first) - 2 * inset
    local full = math.deg(math.atan(rise / room))
    local angle = math.max(full, c.least_angle)
    local run = rise / math.tan(math.rad(angle))
    local half = bw / 2 / math.sin(math.rad(angle))
    -- It stays within the leaf; in a frame its whole foot stands on the rail.
    local least_inset = framed and half or half - mm(c.ledge_in)
    if inset < least_inset then
      inset = least_inset
      room = mm(last) - mm(first) - 2 * inset
      full = math.deg(math.atan(rise / room))
      angle = math.max(full, c.least_angle)
      run = rise / math.tan(math.rad(angle))
      half = bw / 2 / math.sin(math.rad(angle))
    end
    if full < c.least_angle - 0.05 and not told then
      told = true
      remark("least_angle", "a brace over the full run would stand at " .. deg(full) .. ": shortened to " .. deg(angle),
        "more ledges make it flatter still; a taller bay steeper")
    end
    local a, b
    if hinge == "left" then
      a = first + (inset - half)
      b = first + (inset + run + half)
    else
      a = last - (inset - half)
      b = last - (inset + run + half)
    end
    local clear_length = run / math.cos(math.rad(angle))
    local piece = strut { name = "brace", where = place_of .. (c.ledges == 2 and "only" or i == 1 and "lower" or "upper " .. (i - 1)), group = group,
      section = c.brace, foot = low, head = high, along = "right", from = a, to = b,
      low_across = ledge_y }
    add(piece)
    mass = mass + clear_length * bw * mm(c.brace.thickness) * kDensity
    rest(piece, { low, high }, "held by the boards")
    local held = 0
    for _, b2 in ipairs(boards) do
      if try_meet(b2, piece) then
        held = held + 1
        fix { through = { b2, piece }, kind = { "screw", "nail" }, count = 1 }
      end
    end
    flattest = math.min(flattest, angle)
    longest = math.max(longest, clear_length)
  end
  assembly(group, { flat = true })

  -- ---- what hangs on it ------------------------------------------------------------------------------------------------
  local weight = mass * 9.81
  local low, top = ledges[1], ledges[#ledges]
  local apart = mm(top.bottom) + mm(section.width) / 2 - mm(low.bottom) - mm(section.width) / 2
  local pull = weight * mm(W) / 2 / apart
  local person = (weight * mm(W) / 2 + kPerson * mm(W)) / apart
  compression = weight / 2 / math.sin(math.rad(flattest))
  if apart < mm(W) / 2 then
    remark("leaf_height", "the hinges are only " .. print_length(apart) .. " apart, less than half of the leaf's width", "a taller or narrower leaf")
  end
  if c.leaves == 1 and mm(W) > 1200 then
    remark("opening", "a leaf of " .. print_length(W) .. " sags: over 1200 mm take a pair or a steel frame", "leaves = 2")
  end
  remark("hinge", string.format("%s: about %.1f kg; %.0f N pull the top hinge and push the bottom one, %.0f N with somebody on the latch end; "
    .. "hinge straps of %.0f mm or more (better %.0f); its brace stands at %.1f° and carries %.0f N over %.1f mm", name, mass, pull, person,
    mm(W) / 3, mm(W) / 2, flattest, compression, longest), "hinges and screws for that weight, one bolt through each")
  local reach = math.sqrt(mm(W) * mm(W) + mm(c.stile.thickness) * mm(c.stile.thickness)) - mm(W)
  if shut and reach > mm(c.latch_gap) then
    remark("latch_gap", "the far corner of the leaf sweeps " .. print_length(reach) .. " beyond its width", "a greater latch_gap, or bevel the edge")
  end
  local levels = {}
  for i, ledge in ipairs(ledges) do
    if i == 1 or i == #ledges then table.insert(levels, (ledge.bottom + ledge.top) / 2) end
  end
  swing(pieces, { name = name, on = on, opens = c.opens, hinges = levels, by = 90, latch_on = shut })
  return pieces
end

function pattern.build(c)
  local p, O = c.post.width, c.opening
  local left_ground, right_ground = ground_at(-1 * p / 2, 0), ground_at(O + p / 2, 0)
  local middle = ground_at(O / 2, 0)
  -- The leaf stands clear of the highest ground that it passes over.
  local width
  if c.leaves == 2 then
    width = (O - 2 * c.hinge_gap - c.meeting_gap) / 2
  else
    width = O - c.hinge_gap - c.latch_gap
  end
  local out = c.opens == "back" and 1 or -1
  local high = most(ground_at(0, 0), middle, ground_at(O, 0))
  local function sweep(x, hinge)
    for i = 0, 6 do
      local a = math.rad(15 * i)
      for _, r in ipairs({ 0.35, 0.7, 1 }) do
        local level = ground_at(x + width * (r * math.cos(a) * hinge), width * (r * out * math.sin(a)))
        if level > high then high = level end
      end
    end
  end
  if c.leaves == 2 or c.hinge == "left" then sweep(mm(c.hinge_gap), 1) end
  if c.leaves == 2 or c.hinge == "right" then sweep(mm(O) - mm(c.hinge_gap), -1) end
  if mm(high) - mm(middle) > 20 then
    remark("clearance", "the ground rises " .. print_length(high - middle) .. " where the leaf swings: it hangs that much higher",
      "let it open the other way, hang it on the higher side, or cut its foot")
  end
  local foot = high + c.clearance
  local top = foot + c.leaf_height + c.post_top

  local function post(where, x, ground)
    local piece = place { name = "post", where = where, role = "post", section = c.post, runs = "up", wide = "right", straight = true,
      length = top - ground + c.in_ground, at = { x = x, y = -1 * c.post.thickness / 2, z = ground - c.in_ground } }
    post_in_ground(piece, { diameter = c.hole_diameter, depth = c.in_ground + c.gravel, gravel = c.gravel, fill = "concrete" })
    return piece
  end
  local left, right = post("left", -1 * p, left_ground), post("right", O, right_ground)
  if c.leaves == 2 then
    build_leaf(c, "left leaf", c.hinge_gap, width, foot, "left", left, nil)
    build_leaf(c, "right leaf", O - c.hinge_gap - width, width, foot, "right", right, nil)
  elseif c.hinge == "left" then
    build_leaf(c, "leaf", c.hinge_gap, width, foot, "left", left, right)
  else
    build_leaf(c, "leaf", O - c.hinge_gap - width, width, foot, "right", right, left)
  end
end

return pattern
