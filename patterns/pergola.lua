-- SPDX-License-Identifier: Apache-2.0
-- A pergola: rows of posts, beams single or paired along them, rafters across, purlins over the rafters if wanted.
-- It stands free on two rows, or on one row and a ledger on the wall behind it.
--
--   x  along the beams from the first post's left face
--   y  from the front posts' front faces to the back
--   z  up from the ground

-- To the yard's own measure: so many millimetres, or so many inches.
local function by_measure(value, step_mm, step_in)
  local step = string.sub(print_length(named("step", 25.4)), -2) == "mm" and step_mm or step_in * 25.4
  return math.floor(value / step + 0.5) * step
end

local pattern = {
  name = "pergola",
  title = "Pergola",
  help = "Posts, single or paired beams, rafters, purlins if wanted; free-standing or against a wall.",
  choices = {
    { name = "length", unit = "length", least = 1000, most = 40000, group = "Size",
      help = "over the outer faces of the end posts, along the beams" },
    { name = "depth", unit = "length", least = 800, most = 8000, group = "Size",
      help = "from the front posts' front faces to the back posts' back faces, or to the wall" },
    { name = "height", unit = "length", least = 1500, most = 3500, default = 2300, group = "Size",
      help = "from the ground to the underside of the beams" },
    { name = "against", unit = "option", options = { "nothing", "wall" }, default = "nothing", group = "Size",
      help = "whether the back stands on posts of its own or on a ledger on the wall" },
    { name = "posts", unit = "count", least = 2, most = 40, group = "Size",
      default = function(c) return math.max(2, math.ceil(mm(c.length) / by_measure(1900, 10, 54)) + 1) end, help = "posts in each row" },
    { name = "wall_every", unit = "length", least = 100, most = 600, default = 300, group = "Wall",
      help = "how far apart the ledger's fixings in the wall stand, at most; brick and block want them closer than concrete" },
    { name = "beams", unit = "option", options = { "single", "paired" }, default = "single", group = "Timber",
      help = "one beam, let a little into the posts' outer faces, or two, one on each face: rafters fixed to both are pulled hard when the posts lean" },
    { name = "post", unit = "section", role = "post_large", group = "Timber", help = "posts" },
    { name = "beam", unit = "section", role = "beam_large", group = "Timber", help = "beams" },
    { name = "tie", unit = "section", role = "frame", group = "Timber",
      help = "ties from the front to the back posts, which the braces across need" },
    { name = "rafter", unit = "section", role = "rafter_large", group = "Timber", help = "rafters" },
    { name = "purlin", unit = "section", role = "purlin_large", group = "Timber", help = "purlins, on edge" },
    { name = "brace", unit = "section", role = "brace", group = "Timber", help = "braces" },
    { name = "ledger", unit = "section", role = "beam_large", group = "Timber", help = "ledger on the wall" },
    { name = "in_ground", unit = "length", least = 200, most = 1500, group = "Ground",
      default = function(c)
        local asked = c.against == "wall" and 1000 or 1100
        return by_measure(math.min(asked, mm(longest_sold(c.post) - c.height - c.beam.width) - 25), 50, 2)
      end,
      help = "how far the posts stand in the ground; near half the height lets them stand without braces" },
    { name = "hole_diameter", unit = "length", least = 150, most = 900, group = "Ground",
      default = function() return by_measure(275, 25, 1) end,
      help = "width of the round post holes" },
    { name = "gravel", unit = "length", least = 0, most = 300, default = 100, group = "Ground",
      help = "compacted gravel under each post" },
    { name = "rafters", unit = "count", least = 1, most = 200, group = "Size",
      default = function(c) return math.max(2, math.ceil(mm(c.length) / math.max(400, math.min(by_measure(600, 10, 20), 2000 - mm(c.depth) / 2))) + 1) end,
      help = "how many rafters, evenly spaced from the first to the last post" },
    { name = "purlins", unit = "count", least = 0, most = 100, default = 0, group = "Size",
      help = "how many purlins lie over the rafters, evenly spaced" },
    { name = "side_overhang", unit = "length", least = 0, most = 1200, group = "Size",
      default = function() return by_measure(200, 10, 1) end, help = "beam beyond the end posts, at each end" },
    { name = "front_overhang", unit = "length", least = 0, most = 1200, group = "Size",
      default = function() return by_measure(250, 10, 1) end, help = "rafter beyond the outer beam, at each free end" },
    { name = "brace_leg", unit = "length", least = 0, most = 1500, default = 0, group = "Size",
      help = "legs of the braces along post and beam, from the corner to the long points; 0 for none" },
    { name = "beam_end", unit = "profile", default = "cove", group = "Shape", help = "shape of the beams' ends" },
    { name = "rafter_end", unit = "profile", default = "bevel", group = "Shape", help = "shape of the rafters' free ends" },
  },
}

-- Where a run of timber longer than any length sold is jointed: as few joints as possible, each at one of `places`,
-- the parts as equal as the places allow.
local function in_lengths(from, to, places, section)
  local longest = longest_sold(section)
  local parts = 1
  while (to - from) / parts > longest and parts < #places + 1 do parts = parts + 1 end
  while true do
    local runs, start, fits = {}, from, true
    for part = 1, parts do
      local finish = to
      if part < parts then
        local ideal, best, best_off = from + part / parts * (to - from), nil, nil
        for _, there in pairs(places) do
          local off = math.abs(mm(there - ideal))
          if there > start and there < to and there - start <= longest and (not best or off < best_off) then
            best, best_off = there, off
          end
        end
        finish = best or to
      end
      if finish - start > longest then fits = false end
      table.insert(runs, { from = start, to = finish })
      start = finish
      if mm(finish) == mm(to) then break end
    end
    -- With too few places for it, the purchase says which piece no length sold is long enough for.
    if fits or parts > #places then return runs end
    parts = parts + 1
  end
end

local function check_sizes(c, seat)
  local bay = (c.length - c.post.thickness) / (c.posts - 1) - c.post.thickness
  if bay < c.post.thickness then
    refuse("posts", c.posts .. " posts do not fit into a row of " .. print_length(c.length), "give fewer posts")
  end
  local room = least(bay / 2, c.height)
  if c.brace_leg > room then
    refuse("brace_leg", "braces with legs of " .. print_length(c.brace_leg) .. " are longer than the room there is",
      "give at most " .. print_length(room))
  end
  if c.against == "nothing" and c.brace_leg > 0 then
    local inside = c.depth - 2 * c.post.width
    if 2 * c.brace_leg > inside then
      refuse("brace_leg", "braces with legs of " .. print_length(c.brace_leg)
        .. " would meet under the tie from front to back", "give at most " .. print_length(inside / 2))
    end
    if c.tie.width > c.beam.width - seat then
      refuse("tie", "the tie is so deep that the rafters would lie in it",
        "choose a section of at most " .. print_length(c.beam.width - seat))
    end
  end
  local pitch = c.rafters > 1 and (c.length - c.rafter.thickness) / (c.rafters - 1) or c.length
  if pitch < c.rafter.thickness then
    refuse("rafters", c.rafters .. " rafters do not fit side by side",
      "give at most " .. math.max(1, math.floor(mm(c.length) / mm(c.rafter.thickness))))
  end
  if c.depth < 3 * c.post.width then
    refuse("depth", "the rows of posts stand in each other's way", "give at least " .. print_length(3 * c.post.width))
  end
end

function pattern.build(c)
  -- Rafters and beams are let into each other by a tenth of the rafters' depth in all.
  local seat = derive("seat", math.floor(mm(c.rafter.width) / 10), "a tenth of rafter width " .. print_length(c.rafter.width),
    c.rafter.width)
  check_sizes(c, seat)
  local paired, wall = c.beams == "paired", c.against == "wall"
  local beam_top = c.height + c.beam.width
  -- Beside a single beam the heads stay clear of the rafters, which they would press on when the posts lean.
  local post_top = paired and beam_top - seat or beam_top - seat - named("clear of the rafters", 10)
  if c.brace_leg == 0 then
    remark("brace_leg", "there are no braces: the posts stand by their depth in the ground. Braces would pull at the holes "
      .. "and at their own fixings", "with brace_leg they want bolts through their laps and wider holes: the checks say how much")
  end
  local post_places = spread { count = c.posts, from = 0, to = c.length, width = c.post.thickness }
  local all_beams, all_posts, all_ties, all_braces = {}, {}, {}, {}

  local function number_of(row, i) return row .. " " .. i end

  local function beam_run(row, side, y)
    local centres = {}
    for _, x in pairs(post_places) do table.insert(centres, x + c.post.thickness / 2) end
    local from, to = -1 * c.side_overhang, c.length + c.side_overhang
    local runs = in_lengths(from, to, centres, c.beam)
    local pieces = {}
    for i, run in pairs(runs) do
      local piece = place { name = "beam", where = row .. " " .. side .. (#runs > 1 and " " .. i or ""), role = "beam",
        duty = "beam", group = row .. " row", section = c.beam, runs = "right", wide = "up", straight = true,
        length = run.to - run.from, at = { x = run.from, y = y, z = c.height } }
      if i == 1 then shape(piece, { ends = "start", profile = c.beam_end, under = "down", room = c.side_overhang }) end
      if i == #runs then shape(piece, { ends = "finish", profile = c.beam_end, under = "down", room = c.side_overhang }) end
      if i > 1 then rest(piece, { pieces[i - 1] }, "both are fixed to the post they meet on") end
      table.insert(pieces, piece)
      table.insert(all_beams, piece)
    end
    return pieces
  end

  local function reaches(piece, post) return piece.left < post.right and piece.right > post.left end

  local function row_of(row, y, inner_way)
    local posts = {}
    for i, x in pairs(post_places) do
      local post = place { name = "post", where = number_of(row, i), role = "post", group = row .. " row",
        section = c.post, runs = "up", wide = "back", straight = true, length = post_top + c.in_ground,
        at = { x = x, y = y, z = -1 * c.in_ground } }
      table.insert(posts, post)
      table.insert(all_posts, post)
    end
    local beams = {}
    if paired then
      beams.outer = beam_run(row, "outer", inner_way == "back" and posts[1].front - c.beam.thickness or posts[1].back)
      beams.inner = beam_run(row, "inner", inner_way == "back" and posts[1].back or posts[1].front - c.beam.thickness)
      for _, post in pairs(posts) do
        for k, outer in pairs(beams.outer) do
          if reaches(outer, post) then
            local inner = beams.inner[k]
            meet(outer, post)
            meet(post, inner)
            connect { bodies = { outer, post, inner }, kinds = { "bolt", "coach bolt" }, count = 1, least = 10, load = 2600 }
          end
        end
      end
    else
      -- A single beam is let a little into the outer face of the posts: the shoulder carries it, and one screw or bolt in the
      -- middle holds it there. Deeper shoulders and pairs of bolts would be prised apart when the posts lean.
      local let_in = named("let in", by_measure(16, 1, 5 / 8))
      beams.outer = beam_run(row, "single", inner_way == "back" and posts[1].front - c.beam.thickness + let_in
        or posts[1].back - let_in)
      beams.inner = beams.outer
      for _, post in pairs(posts) do
        for _, piece in pairs(beams.outer) do
          if reaches(piece, post) then
            notch(piece, post, { into = inner_way, share = 0 })
            connect { bodies = { piece, post }, kinds = { "structural screw", "bolt", "coach bolt", "coach screw", "screw" }, count = 1,
              most = 1, least = 9, load = 1500 }
          end
        end
      end
    end

    -- Braces along the row, two to each bay, lap up behind the outer beam.
    if c.brace_leg > 0 then
      local low = inner_way == "back" and beams.outer[1].back or beams.outer[1].front - c.brace.thickness
      for i, post in pairs(posts) do
        for way, there in pairs({ right = posts[i + 1], left = posts[i - 1] }) do
          if there then
            local piece = brace { name = "brace", where = number_of(row, i) .. " " .. way, group = "braces",
              section = c.brace, foot = post, foot_face = way, head_face = "up", head_level = post_top,
              leg = c.brace_leg, low_across = low }
            connect { bodies = { piece, post }, kinds = { "structural screw", "screw" }, count = 2, least = 6, load = 2500 }
            for _, beam_piece in pairs(beams.outer) do
              if piece.left < beam_piece.right and piece.right > beam_piece.left and
                try_meet(piece, beam_piece) then
                connect { bodies = { piece, beam_piece }, kinds = { "bolt", "coach bolt", "structural screw", "screw" },
                  count = 2, least = 6, load = 2500 }
              end
            end
            table.insert(all_braces, piece)
          end
        end
      end
    end
    assembly(row .. " row", { flat = true })
    return { posts = posts, outer = beams.outer, inner = beams.inner }
  end

  local front = row_of("front", 0, "back")
  local back, ledgers
  if wall then
    ledgers = {}
    local runs = in_lengths(-1 * c.side_overhang, c.length + c.side_overhang, post_places, c.ledger)
    for i, run in pairs(runs) do
      local piece = place { name = "ledger", where = #runs > 1 and "number " .. i or "", role = "ledger", group = "wall",
        section = c.ledger, runs = "right", wide = "up", straight = true, length = run.to - run.from,
        at = { x = run.from, y = c.depth - c.ledger.thickness, z = beam_top - c.ledger.width } }
      -- High up: a row in the middle would be pulled twice as hard by what hangs on the front of the ledger.
      on_wall(piece, "back", { every = c.wall_every, least = 9, above = c.ledger.width / 4 })
      if i > 1 then rest(piece, { ledgers[i - 1] }, "both are fixed to the wall") end
      table.insert(ledgers, piece)
    end
  else
    back = row_of("back", c.depth - c.post.width, "front")
    -- Ties across carry the braces the other way; a wall holds the frame that way by itself.
    if c.brace_leg > 0 then
      for i, post in pairs(front.posts) do
        local far = back.posts[i]
        -- Under paired beams, from post to post: between the beams it would sit on the nuts of their bolts, and its own
        -- screws would have to be driven where the post stands.
        local tie = butt { name = "tie", where = "number " .. i, role = "beam", duty = "beam", group = "ties",
          section = c.tie, between = { post, far }, runs = "back", wide = "up",
          at = { x = post.left + (c.post.thickness - c.tie.thickness) / 2,
            z = paired and c.height - c.tie.width or c.height } }
        fix { through = { post, tie }, kind = { "screw", "coach screw" }, count = 2, least = 4.5 }
        fix { through = { far, tie }, kind = { "screw", "coach screw" }, count = 2, least = 4.5 }
        if paired then
          rest(tie, front.inner, "fixed to the posts below the beams")
          rest(tie, back.inner, "fixed to the posts below the beams")
        end
        table.insert(all_ties, tie)
        local level = tie.bottom
        local low = post.left + (c.post.thickness - c.brace.thickness) / 2
        for way, foot in pairs({ back = post, front = far }) do
          local piece = brace { name = "brace", where = (way == "back" and "front " or "back ") .. i .. " across",
            group = "braces", section = c.brace, foot = foot, foot_face = way, head_face = "up", head_level = level,
            leg = c.brace_leg, low_across = low }
          fix { through = { piece, foot }, count = 2, least = 4.5 }
          meet(piece, tie, "mitre")
          fix { through = { piece, tie }, count = 1, least = 4.5 }
          rest(piece, front.inner, "passes under the beam")
          if back then rest(piece, back.inner, "passes under the beam") end
          table.insert(all_braces, piece)
        end
      end
    end
  end

  -- Rafters, let down over every beam and, at the wall, over the ledger.
  local start = front.outer[1].front - c.front_overhang
  local finish = wall and c.depth or back.outer[1].back + c.front_overhang
  local rafters, roof = {}, { "roof", "climber" }
  for i, x in pairs(spread { count = c.rafters, from = 0, to = c.length, width = c.rafter.thickness }) do
    local piece = place { name = "rafter", where = "number " .. i, role = "rafter", group = "rafters", section = c.rafter,
      duty = c.purlins > 0 and "beam" or roof, runs = "back", wide = "up", length = finish - start,
      at = { x = x, y = start, z = beam_top - seat } }
    shape(piece, { ends = "start", profile = c.rafter_end, under = "down", room = c.front_overhang })
    if not wall then shape(piece, { ends = "finish", profile = c.rafter_end, under = "down", room = c.front_overhang }) end
    local beds = {}
    for _, list in pairs({ front.outer, paired and front.inner or {}, back and back.outer or {},
      back and paired and back.inner or {}, ledgers or {} }) do
      for _, bed in pairs(list) do
        -- Where two lengths of beam meet under a rafter it is let down over both and fixed to the one that holds more of it.
        if piece.left < bed.right and piece.right > bed.left then
          halve(piece, bed)
          local lap = least(piece.right, bed.right) - most(piece.left, bed.left)
          if lap >= c.rafter.thickness / 2 then
            connect { bodies = { piece, bed }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 1400 }
          else
            rest(piece, { bed }, "fixed to the length beside it")
          end
        end
      end
    end
    rest(piece, all_posts, "held by the beams")
    rest(piece, all_ties, "held by the beams")
    rest(piece, all_braces, "held by the beams")
    table.insert(rafters, piece)
  end

  if c.purlins > 0 then
    local centres = {}
    for _, r in pairs(rafters) do table.insert(centres, r.left + c.rafter.thickness / 2) end
    local from, to = -1 * c.side_overhang, c.length + c.side_overhang
    local runs = in_lengths(from, to, centres, c.purlin)
    -- The outer ones stay off the rafters' ends, which their screws would split.
    local off = named("off the ends", 70)
    for i, y in pairs(spread { count = c.purlins, from = start + off, to = finish - off, width = c.purlin.thickness }) do
      local before
      for k, run in pairs(runs) do
        local piece = place { name = "purlin", where = "number " .. i .. (#runs > 1 and " length " .. k or ""),
          role = "purlin", duty = roof, group = "purlins", section = c.purlin, runs = "right", wide = "up",
          length = run.to - run.from, at = { x = run.from, y = y, z = rafters[1].top } }
        if before then rest(piece, { before }, "both are fixed to the rafter they meet on") end
        before = piece
        for _, r in pairs(rafters) do
          if piece.left < r.right and piece.right > r.left then
            meet(piece, r)
            connect { bodies = { piece, r }, kinds = { "screw" }, least = 4.3, load = 400 }
          end
        end
      end
    end
  end

  for _, post in pairs(all_posts) do
    post_in_ground(post, { diameter = c.hole_diameter, depth = c.in_ground + c.gravel, gravel = c.gravel })
  end
end

return pattern
