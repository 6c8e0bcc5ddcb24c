-- SPDX-License-Identifier: Apache-2.0
-- A gate between two posts: boards on ledges with braces that rise from the hinge side, in a frame or without, or a field
-- gate of bars; one leaf or a pair.
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
--
--      ┃┌─┬──────┬──────┬─┐┃     field gate: bars before heel and head, uprights and braces behind the bars
--      ┃│ │    ／│    ／│ │┃
--      ┃└─┴──────┴──────┴─┘┃

local kDensity = 600e-9      -- kg/mm³, damp softwood (common practice)
local kPerson = 785          -- N, somebody of 80 kg on the latch end

local measures = shared "measures"

local pattern = {
  name = "gate",
  title = "Gate",
  help = "Ledged and braced, framed, picket, or a field gate of bars; one leaf or a pair; posts, hinges, latch and stop.",
  choices = {
    { name = "kind", unit = "option", options = { "ledged and braced", "framed", "picket", "field" }, group = "Kind",
      default = "ledged and braced",
      help = "boards on ledges, boards over a frame of stiles and rails, pales with gaps, or bars before a heel and a head" },
    { name = "opening", unit = "length", least = 500, most = 7200, group = "Size",
      default = function(c) return c.kind == "field" and measures.usual(3000, 120) or measures.usual(1000, 40) end,
      help = "clear between the posts: 900 for a barrow, 1000 for a wheelchair, 3000 to 3600 for a car or a tractor" },
    { name = "leaves", unit = "count", least = 1, most = 2, group = "Kind",
      default = function(c) return mm(c.opening) > (c.kind == "field" and measures.usual(3700, 96) or 1500) and 2 or 1 end, help = "1, or 2 for a pair" },
    { name = "hinge", unit = "option", options = { "left", "right" }, default = "left", group = "Kind", help = "hinge side of a single leaf, seen from the front" },
    { name = "opens", unit = "option", options = { "back", "front" }, default = "back", group = "Kind",
      help = "the way it swings; never out over a public way" },
    { name = "leaf_height", unit = "length", least = 500, most = 2200, group = "Size",
      default = function(c) return c.kind == "field" and 1100 or c.kind == "picket" and 950 or c.leaves == 2 and 1370 or 1500 end,
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
    { name = "stile", unit = "section", role = "frame", group = "Timber", help = "stiles and rails of a framed gate, heel and head of a field gate" },
    { name = "bar", unit = "section", role = "cap", group = "Timber", help = "bars of a field gate" },
    { name = "bars", unit = "count", least = 3, most = 9, default = 5, group = "Kind", help = "bars of a field gate, the lower ones nearer to one another" },
    { name = "ledges", unit = "count", least = 2, most = 4, group = "Kind",
      default = function(c) return mm(c.leaf_height) > 1200 and 3 or 2 end, help = "how many ledges, or rails of a frame" },
    { name = "ledge_in", unit = "length", least = 0, most = 60, default = 20, group = "Kind", help = "ledges short of the leaf's edges" },
    { name = "bottom_ledge", unit = "length", least = 80, most = 400, default = 200, group = "Kind", help = "middle of the bottom ledge above the leaf's foot" },
    { name = "top_ledge", unit = "length", least = 80, most = 400, default = 150, group = "Kind", help = "middle of the top ledge below the leaf's top" },
    { name = "least_angle", unit = "number", least = 30, most = 70, default = 45, group = "Kind", help = "flattest that a brace may stand, degrees from level" },
    { name = "brace_in", unit = "length", least = 0, most = 200, default = 60, group = "Kind", help = "middle of a brace's ends from the ledges' ends" },
    { name = "stop", unit = "yes-no", default = true, group = "Kind",
      help = "a strip on the latch post that a single leaf shuts against, so that the latch does not break" },
    { name = "strip", unit = "section", role = "batten", group = "Timber", help = "the stop" },
    { name = "post", unit = "section", role = "gate_post", group = "Timber",
      default = function(c)
        return (c.kind == "field" or c.leaves == 2 or c.kind ~= "picket" and mm(c.leaf_height) > 1600 and mm(c.opening) > 850) and "post_panels" or nil
      end, help = "posts: stout, as each carries its leaf and half the wind" },
    { name = "post_top", unit = "length", least = 0, most = 600, default = 50, group = "Size", help = "posts above the leaf" },
    { name = "in_ground", unit = "length", least = 400, most = 1800, group = "Ground",
      default = function(c)
        if c.kind == "field" then return measures.usual(1300, 52) end
        return mm(c.leaf_height) > 1600 and measures.usual(1300, 60) or mm(c.leaf_height) > 1200 and measures.usual(1200, 54) or 1100
      end,
      help = "how far the posts stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 200, most = 900, group = "Ground",
      default = function(c) return c.leaves == 2 and measures.usual(300, 20) or 300 end, help = "width of the post holes" },
    { name = "gravel", unit = "length", least = 0, most = 300, default = 100, group = "Ground", help = "compacted gravel under each post" },
  },
}

local function deg(angle) return string.format("%.0f degrees", angle) end

-- Hangs a leaf of so much mass on its post, and says what pulls at its hinges.
local function hang(c, leaf)
  local W, weight = mm(leaf.width), leaf.mass * 9.81
  local apart = mm(leaf.high) - mm(leaf.low)
  local pull = weight * W / 2 / apart
  local person = (weight * W / 2 + kPerson * W) / apart
  local compression = weight / 2 / math.sin(math.rad(leaf.flattest))
  if apart < W / 2 and c.kind ~= "field" then
    remark("leaf_height", "the hinges are only " .. print_length(apart) .. " apart, less than half of the leaf's width", "a taller or narrower leaf")
  end
  if W > 1500 and c.kind ~= "field" then
    remark("opening", "a leaf of " .. print_length(leaf.width) .. " wants a steel frame: over 1500 mm timber alone drops at the latch", "a narrower opening, or leaves = 2")
  elseif c.leaves == 1 and W > 1200 and c.kind ~= "field" then
    remark("opening", "a leaf of " .. print_length(leaf.width) .. " sags: over 1200 mm take a pair or a steel frame", "leaves = 2")
  end
  if leaf.flattest < 45 - 0.05 then
    remark("least_angle", "a brace at " .. deg(leaf.flattest) .. " pushes " .. string.format("%.1f", 1 / math.sin(math.rad(leaf.flattest)))
      .. " times what it carries, and sags", "least_angle = 45 or more")
  end
  remark("hinge", string.format("%s: about %.1f kg; %.0f N pull the top hinge and push the bottom one, %.0f N with somebody on the latch end; "
    .. "hinge straps of %.0f mm or more (better %.0f); its brace stands at %.1f° and carries %.0f N over %.1f mm", leaf.name, leaf.mass, pull, person,
    W / 3, W / 2, leaf.flattest, compression, leaf.longest), "hinges and screws for that weight, one bolt through each")
  local reach = math.sqrt(W * W + mm(c.stile.thickness) * mm(c.stile.thickness)) - W
  if leaf.shut and reach > mm(c.latch_gap) then
    remark("latch_gap", "the far corner of the leaf sweeps " .. print_length(reach) .. " beyond its width", "a greater latch_gap, or bevel the edge")
  end
  swing(leaf.pieces, { name = leaf.name, on = leaf.on, opens = c.opens, hinges = { leaf.low, leaf.high }, by = 90, heavy = c.kind == "field" or apart < W / 2, latch_on = leaf.shut })
  return leaf.pieces
end

-- A field gate's leaf: bars before a heel on the hinge side and a head, uprights behind the bars, and in each space between
-- them a brace that rises from the hinge side, cut plumb against heel, uprights and head.
local function build_field_leaf(c, name, from, width, foot, hinge, on, shut)
  local bt, st = c.bar.thickness, c.stile.thickness
  local y = c.opens == "back" and c.post.thickness / 2 - bt - st or -1 * c.post.thickness / 2
  local H, to, behind = c.leaf_height, from + width, y + bt
  local place_of = name == "leaf" and "" or name .. " "
  local pieces, mass = {}, 0
  local function add(piece, length)
    table.insert(pieces, piece)
    mass = mass + mm(length or piece.length) * mm(piece.width) * mm(piece.thickness) * kDensity
    return piece
  end
  if mm(width) > mm(longest_sold(c.bar)) then
    refuse("opening", "bars of " .. print_length(width) .. " are longer than any " .. c.bar.name .. " that the yard sells", "a narrower opening, or leaves = 2")
  end
  local function upright(what, where, section, x)
    return add(place { name = what, where = place_of .. where, role = "frame", group = name, section = section, runs = "up", wide = "right",
      length = H, at = { x = x, y = behind, z = foot } })
  end
  local left = upright(hinge == "left" and "heel" or "head", "", c.stile, from)
  local right = upright(hinge == "left" and "head" or "heel", "", c.stile, to - c.stile.width)

  -- So many spaces that no brace stands flatter than asked: it rises from the bottom bar's lower edge to the top bar's upper.
  local w, inner = mm(c.brace.width), mm(width) - 2 * mm(c.stile.width)
  local spaces, clear, angle = 0, 0, 0
  repeat
    spaces = spaces + 1
    clear = (inner - (spaces - 1) * w) / spaces
    -- rise = H − w / cos: three rounds settle it to a hundredth of a degree.
    angle = math.atan((mm(H) - 1.3 * w) / clear)
    for _ = 1, 3 do angle = math.atan((mm(H) - w / math.cos(angle)) / clear) end
  until math.deg(angle) >= c.least_angle or clear < 2 * w
  if clear < 2 * w then refuse("least_angle", "no brace stands so steep in this leaf", "a smaller least_angle, or a taller leaf") end
  local uprights = { left }
  for i = 1, spaces - 1 do
    local x = left.right + (clear + w) * i - c.brace.width
    table.insert(uprights, upright("upright", "number " .. i, c.brace, x))
  end
  table.insert(uprights, right)

  -- Bars: the gaps grow from below by a quarter each (common practice: lambs below, sight above).
  local bars, part, sum = {}, 1, 0
  for _ = 1, c.bars - 1 do
    sum = sum + part
    part = part * 1.25
  end
  local room = H - c.bars * c.bar.width
  if mm(room) / sum < 25 then refuse("bars", c.bars .. " bars leave no gaps in a leaf of " .. print_length(H), "give fewer") end
  local z, gap = foot, 1
  for k = 1, c.bars do
    local bar = add(place { name = "bar", where = place_of .. "number " .. k, role = "rail", duty = "nothing", carries = false, group = name, section = c.bar,
      runs = "right", wide = "up", length = width, at = { x = from, y = y, z = z } })
    table.insert(bars, bar)
    z = z + c.bar.width + room * (gap / sum)
    gap = gap * 1.25
    for _, one in ipairs(uprights) do
      meet(bar, one)
      fix { through = { bar, one }, kind = { "coach bolt", "bolt", "screw" }, count = 2, least = 4 }
    end
  end

  local longest = 0
  for i = 1, spaces do
    local a, b = uprights[i], uprights[i + 1]
    local rise = clear * math.tan(angle)
    local up = hinge == "left"
    local brace = lay { name = "brace", where = place_of .. "number " .. (up and i or spaces + 1 - i), role = "brace", group = name, section = c.brace, carries = false,
      wide = "up", edge = "low", lies = "back", ends = "plumb", from = { x = a.right, y = behind, z = up and foot or foot + rise },
      to = { x = b.left, y = behind, z = up and foot + rise or foot } }
    add(brace)
    rest(brace, { a, b }, "cut against it, fixed to the bars")
    for _, bar in ipairs(bars) do
      if try_meet(bar, brace) and not try_fix { through = { bar, brace }, kind = { "screw" }, count = 2, least = 4 } then
        fix { through = { bar, brace }, kind = { "screw" }, count = 1, least = 4 }
      end
    end
    longest = math.max(longest, clear / math.cos(angle))
  end
  assembly(name, { flat = true })
  return hang(c, { name = name, pieces = pieces, width = width, on = on, shut = shut, mass = mass, flattest = math.deg(angle), longest = longest,
    low = foot + named("bottom hinge", 150), high = foot + H - named("top hinge", 150) })
end

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
    if mm(gap) >= 89 then
      remark("pale_gap", "gaps of 89 to 230 mm can trap a child's head", "a smaller pale_gap")
    end
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
  local longest = 0
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

  return hang(c, { name = name, pieces = pieces, width = W, on = on, shut = shut, mass = mass, flattest = flattest, longest = longest,
    low = (ledges[1].bottom + ledges[1].top) / 2, high = (ledges[#ledges].bottom + ledges[#ledges].top) / 2 })
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
  local build = c.kind == "field" and build_field_leaf or build_leaf
  if c.leaves == 2 then
    build(c, "left leaf", c.hinge_gap, width, foot, "left", left, nil)
    build(c, "right leaf", O - c.hinge_gap - width, width, foot, "right", right, nil)
    remark("leaves", "one leaf of a pair is held shut by a drop bolt, the other is latched to it", "a socket in the ground for the bolt, and a stop beside it")
    return
  end
  local leaf
  if c.hinge == "left" then
    leaf = build(c, "leaf", c.hinge_gap, width, foot, "left", left, right)
  else
    leaf = build(c, "leaf", O - c.hinge_gap - width, width, foot, "right", right, left)
  end
  if not c.stop then return end

  -- The stop stands before what shuts against it, on the latch post's inner face, and reaches past the latch's gap.
  local shut, face = c.hinge == "left" and right or left, nil
  for _, piece in ipairs(leaf) do
    local at = c.opens == "back" and piece.front or piece.back
    if not face or (c.opens == "back" and at < face) or (c.opens == "front" and at > face) then face = at end
  end
  local play = named("play", 3)
  local stop_y = c.opens == "back" and face - play - c.strip.width or face + play
  if mm(stop_y) < mm(shut.front) or mm(stop_y) + mm(c.strip.width) > mm(shut.back) then
    remark("strip", "a stop of " .. c.strip.name .. " does not fit on the post beside the leaf", "a narrower one, or a wider post")
    return
  end
  local strip = place { name = "stop", where = "", role = "batten", carries = false, section = c.strip, runs = "up", wide = "back",
    length = c.leaf_height - named("short of the leaf", 100), at = { x = c.hinge == "left" and shut.left - c.strip.thickness or shut.right, y = stop_y, z = foot + named("above its foot", 50) } }
  meet(strip, shut)
  fix { through = { strip, shut }, count = 4, every = 400 }
end

return pattern
