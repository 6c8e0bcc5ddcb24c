-- SPDX-License-Identifier: Apache-2.0
-- A pergola: rows of posts, beams single or paired along them, rafters across, purlins over the rafters if wanted.
-- It stands free on two rows, or on one row and a ledger on the wall behind it. Its roof is level, its rafters halved over
-- the beams, or falls to the front, its rafters let down on level beams by bird's mouths. A wing makes a corner of it: a
-- second run that goes off its back, square to it, at the left.
--
--   x  along the beams from the first post's left face
--   y  from the front posts' front faces to the back
--   z  up from the ground

local measures = shared "measures"
local feet = shared "feet"

-- Rafters so long bend too far in the usual section: deeper ones, farther apart, so that the roof weighs and catches no more.
-- At a wall that begins sooner: what hangs on a ledger does not reach beyond it.
local function deep(c)
  if c.fall > 0 then return mm(c.depth) > (c.fall > 12 and c.against == "wall" and 2600 or 2900) end
  return mm(c.depth) > (c.against == "nothing" and measures.usual(2800, 100) or measures.usual(2850, 100))
end
-- Longer yet: the deepest, or stouter ones that do not roll over sideways.
local function very_deep(c)
  if c.fall > 0 then return mm(c.depth) > measures.usual(3200, 144) end
  return mm(c.depth) > (c.against == "nothing" and measures.usual(3200, 124) or measures.usual(3250, 118))
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
    { name = "against", unit = "option", options = { "nothing", "wall" }, default = "nothing", group = "Size",
      help = "whether the back stands on posts of its own or on a ledger on the wall" },
    { name = "fall", unit = "number", least = 0, most = 30, step = 2, default = 0, group = "Size",
      help = "degrees that the roof falls to the front, from a higher back row or ledger; 0 for a level one" },
    { name = "height", unit = "length", least = 1500, most = 3500, group = "Size",
      -- Of a roof that falls between two rows the back beams are so high, whose posts are the longest; one still walks under
      -- the front ones.
      default = function(c)
        local rise = c.against == "nothing" and mm(c.depth) * math.tan(math.rad(c.fall)) or 0
        -- At a wall the front posts sway alone, and the rafters' brackets with them: shorter ones less.
        if c.against == "wall" and c.fall > 0 and mm(c.depth) > 2300 then return measures.to_step(2100, 10, 1) end
        return rise > 0 and measures.to_step(math.max(1900, 2300 - rise), 10, 1) or 2300
      end,
      help = "from the ground to the underside of the front beams" },
    { name = "posts", unit = "count", least = 2, most = 40, group = "Size",
      default = function(c)
        -- Raked rafters are held at the wall by brackets alone: where the front sways they would turn in them.
        local every = c.against == "wall" and c.fall > 0 and measures.to_step(c.fall > 12 and mm(c.depth) > 2800 and 1050 or 1300, 10, 48) or measures.to_step(1900, 10, 54)
        -- What wind lifts off a falling roof, and drives down a steep one, comes to a post by its bay: so much of the roof that
        -- its shoulder and one screw bear it.
        if c.fall == 0 and c.against == "wall" then
          -- The front beam carries half of the roof on single posts' shoulders (computed).
          every = math.min(every, measures.to_step((measures.metric() and deep(c) and not very_deep(c) and 4e6 or 3.4e6) / mm(c.depth), 50, 2))
        elseif c.fall == 0 and deep(c) then
          every = measures.usual(math.min(1500, (very_deep(c) and 3.3e6 or 4.3e6) / mm(c.depth)), 54)
        elseif c.fall == 0 and measures.metric() and mm(c.length) > 5000 then
          every = math.min(every, 4.55e6 / mm(c.depth))
        elseif c.fall > 0 and c.against == "nothing" then
          local wide = 1900 - 1.5 * math.max(0, mm(c.depth) - 2600)
          every = math.min(every, math.max(700, measures.to_step(wide * (1 - math.max(0, c.fall - 6) / 12), 10, 1)))
        end
        return math.max(2, math.ceil(mm(c.length) / every) + 1)
      end, help = "posts in each row" },
    { name = "wing", unit = "length", least = 0, most = 12000, default = 0, group = "Size",
      help = "how far a second run goes off the back beams at the left, square to the first, for a corner; 0 for none" },
    { name = "wing_width", unit = "length", least = 600, most = 8000, optional = true, group = "Size",
      help = "of the second run, over its posts' outer faces; as deep as the first unless given" },
    { name = "wall_out", unit = "length", least = -150, most = 150, default = 0, group = "Wall",
      help = "of a wall out of plumb: how far its face at the ledger lies behind a plumb line from where `depth` meets it; before it, below 0" },
    { name = "wall_every", unit = "length", least = 100, most = 600, group = "Wall",
      default = function(c)
        -- The longer and the deeper, the more the whole of it is pulled by a gale along it (computed).
        local whole = math.min(5400, mm(c.length)) * mm(c.depth)
        local every = measures.to_step(math.max(120, math.min(300, 300 * (8.6e6 / whole) ^ 2)), 10, 1)
        if c.fall == 0 then return every end
        -- What a steep roof catches it pulls the ledger down with.
        if c.fall > 8 then
          return measures.to_step(math.max(100, math.min(mm(c.depth) < 2300 and 250 or 130, 130 * (11e6 / whole) ^ 1.5)), 10, 1)
        end
        if mm(c.depth) < 2300 then return mm(c.length) > 4200 and every or 300 end
        return math.min(every, (mm(c.depth) > 2700 or c.fall > 10) and measures.to_step(150, 10, 6) or measures.to_step(200, 10, 8))
      end,
      help = "how far apart the ledger's fixings in the wall stand, at most; brick and block want them closer than concrete" },
    { name = "beams", unit = "option", options = { "single", "paired" }, default = "single", group = "Timber",
      help = "one beam, let a little into the posts' outer faces, or two, one on each face: rafters fixed to both are pulled hard when the posts lean" },
    { name = "post", unit = "section", role = "post_large", group = "Timber", help = "posts" },
    { name = "beam", unit = "section", role = "beam_large", group = "Timber", help = "beams" },
    { name = "fish_plate", unit = "section", role = "beam", group = "Timber",
      default = function(c) return mm(c.beam.width) < measures.usual(170, 6) and "frame" or nil end,
      help = "fish plates on the outer faces of single beams, over the joints of those longer than any length sold" },
    { name = "tie", unit = "section", role = "frame", group = "Timber",
      help = "ties from the front to the back posts, which the braces across need" },
    { name = "rafter", unit = "section", role = "rafter_large", group = "Timber", help = "rafters",
      default = function(c)
        if very_deep(c) then return "rafter_deep" end
        if not deep(c) then return nil end
        return measures.metric() and "beam" or "beam_large"
      end },
    { name = "purlin", unit = "section", role = "purlin_large", group = "Timber", help = "purlins, on edge" },
    { name = "brace", unit = "section", role = "brace", group = "Timber", help = "braces" },
    { name = "ledger", unit = "section", role = "beam_large", group = "Timber", help = "ledger on the wall" },
    -- Under a steep deep roof no post is sold that reaches deep enough into the ground.
    feet.choice(function(c)
      return measures.metric() and c.against == "nothing" and c.fall > 0 and mm(c.depth) * math.tan(math.rad(c.fall)) > 670
    end),
    { name = "in_ground", unit = "length", least = 200, most = 1500, group = "Ground",
      default = function(c)
        if feet.on_shoes(c) then return measures.to_step(c.fall > 12 and 1400 or 1100, 50, 2) end
        local asked = c.against == "wall" and (c.fall > 0 and (mm(c.depth) > 2300 and 1300 or 1150) or 1000) or 1100
        local rise = c.against == "wall" and 0 or mm(c.depth) * math.tan(math.rad(c.fall))
        return measures.to_step(math.max(200, math.min(asked, mm(longest_sold(c.post) - c.height - c.beam.width) - rise - 25)), 50, 2)
      end,
      help = "how far the posts stand in the ground; near half the height lets them stand without braces. Of pads, how deep they are" },
    { name = "hole_diameter", unit = "length", least = 150, most = 900, group = "Ground",
      default = function(c) return feet.on_shoes(c) and measures.to_step(400, 25, 1) or measures.to_step(275, 25, 1) end,
      help = "width of the round post holes, or of the pads" },
    { name = "gravel", unit = "length", least = 0, most = 300, default = 100, group = "Ground",
      help = "compacted gravel under each post" },
    { name = "rafters", unit = "count", least = 1, most = 200, group = "Size",
      default = function(c) return math.max(2, math.ceil(mm(c.length) / math.max(400, c.fall == 0 and deep(c) and measures.usual(c.against == "wall" and (very_deep(c) and 520 or 550) or very_deep(c) and 560 or 750, very_deep(c) and 24 or 28) or math.min(measures.to_step(c.fall > 12 and c.against == "wall" and mm(c.depth) > 2800 and 500 or 600, 10, 20), 2000 - mm(c.depth) / 2))) + 1) end,
      help = "how many rafters, evenly spaced from the first to the last post" },
    { name = "purlins", unit = "count", least = 0, most = 100, default = 0, group = "Size",
      help = "how many purlins lie over the rafters, evenly spaced" },
    { name = "side_overhang", unit = "length", least = 0, most = 1200, group = "Size",
      default = function() return measures.to_step(200, 10, 1) end, help = "beam beyond the end posts, at each end" },
    { name = "front_overhang", unit = "length", least = 0, most = 1200, group = "Size",
      default = function() return measures.to_step(250, 10, 1) end, help = "rafter beyond the outer beam, at each free end" },
    { name = "brace_leg", unit = "length", least = 0, most = 1500, default = 0, group = "Size",
      help = "legs of the braces along post and beam, from the corner to the long points; 0 for none" },
    { name = "brace_hollow", unit = "length", least = 0, most = 80, default = 0, group = "Size",
      help = "how deep an arc is sawn out of the braces' edge that looks into the bay; 0 for straight braces" },
    { name = "brace_hold", unit = "length", least = 0, most = 400, default = 130, group = "Size",
      help = "how far that arc begins and ends off the long points of the mitres: clear of the screws there" },
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

local function wing_width(c) return c.wing_width or c.depth end

local function check_wing(c)
  if c.against == "wall" then refuse("wing", "a wing goes off the back, where the wall is", "against = \"nothing\", or wing = 0") end
  if c.fall > 0 then refuse("wing", "the wing's rafters lie level, and the roof of the first run falls", "fall = 0, or wing = 0") end
  if c.wing < 600 then
    refuse("wing", "a wing of " .. print_length(c.wing) .. " is too short for posts of its own", "0 for none, or 600 mm and more")
  end
  if wing_width(c) > c.length then
    refuse(c.wing_width and "wing_width" or "wing", "the wing is wider than the run that it goes off", "give at most " .. print_length(c.length))
  end
end

local function check_sizes(c, seat)
  if c.wing > 0 then check_wing(c) end
  -- A bird's mouth takes a quarter of the rafter at most: what the American code takes, by its commentators.
  local bite = c.beam.thickness * math.sin(math.rad(c.fall))
  if bite > c.rafter.width / 4 then
    refuse("fall", "bird's mouths over " .. print_length(c.beam.thickness) .. " of beam would be " .. print_length(bite)
      .. " deep, more than a quarter of the rafters", "give less fall, deeper rafters or thinner beams")
  end
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

-- A second run off the back beams `first`, at the left: a row of posts on either side, a beam on each, rafters over them. It
-- stands by itself: hung on the first run's beams it would pull them off their posts when it sways. Its first posts stand off
-- theirs, so that no two are side by side, and its beams reach back to them. Gives its beams and posts.
local function build_wing(c, first, let_in, post_top, seat)
  local beam_top, from = c.height + c.beam.width, first[1].back + named("clear of the first run", 10)
  local to, t = first[1].back + c.wing, c.beam.thickness
  local back_to_run = least(measures.to_step(500, 10, 20), c.wing / 4)
  local count = math.max(2, math.ceil(mm(c.wing - back_to_run) / measures.to_step(1500, 10, 48)) + 1)
  local places = spread { count = count, from = from + back_to_run, to = to, width = c.post.width }
  local beams, posts = {}, {}
  for side, row in pairs({ left = { x = 0, beam = let_in - t, into = "right" },
    right = { x = wing_width(c) - c.post.thickness, beam = wing_width(c) - let_in, into = "left" } }) do
    local own, centres = {}, {}
    for i, y in pairs(places) do
      local post = place { name = "post", where = "wing " .. side .. " " .. i, role = "post", group = "wing", section = c.post, runs = "up",
        wide = "back", straight = true, length = post_top - feet.begins(c), at = { x = row.x, y = y, z = feet.begins(c) } }
      table.insert(own, post)
      table.insert(posts, post)
      table.insert(centres, y + c.post.width / 2)
    end
    local before
    for i, run in pairs(in_lengths(from, to + c.side_overhang, centres, c.beam)) do
      local beam = place { name = "beam", where = "wing " .. side .. (i > 1 and " " .. i or ""), role = "beam", duty = "beam", group = "wing",
        section = c.beam, runs = "back", wide = "up", straight = true, length = run.to - run.from, at = { x = row.beam, y = run.from, z = c.height } }
      if before then rest(beam, { before }, "both are fixed to the post they meet on") end
      for _, post in pairs(own) do
        if beam.front < post.back and beam.back > post.front then
          notch(beam, post, { into = row.into, share = 0 })
          connect { bodies = { beam, post }, kinds = { "structural screw", "bolt", "coach bolt", "coach screw", "screw" }, count = 1,
            most = 1, least = 9, load = 1500 }
        end
      end
      before = beam
      table.insert(beams, beam)
    end
    shape(before, { ends = "finish", profile = c.beam_end, under = "down", room = c.side_overhang })
  end

  local low, high = let_in - t - c.front_overhang, wing_width(c) - let_in + t + c.front_overhang
  local every = math.max(400, math.min(measures.to_step(600, 10, 20), 2000 - mm(wing_width(c)) / 2))
  local start = from + c.front_overhang + named("off the first run's rafters", 30)
  local n = math.max(2, math.ceil(mm(to - start) / every) + 1)
  for i, y in pairs(spread { count = n, from = start, to = to, width = c.rafter.thickness }) do
    local rafter = place { name = "rafter", where = "wing " .. i, role = "rafter", group = "wing rafters", section = c.rafter,
      duty = { "roof", "climber" }, runs = "right", wide = "up", length = high - low, at = { x = low, y = y, z = beam_top - seat } }
    shape(rafter, { ends = "both", profile = c.rafter_end, under = "down", room = c.front_overhang })
    for _, beam in pairs(beams) do
      if rafter.front < beam.back and rafter.back > beam.front then
        halve(rafter, beam)
        local lap = least(rafter.back, beam.back) - most(rafter.front, beam.front)
        if lap >= c.rafter.thickness / 2 then
          connect { bodies = { rafter, beam }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 1400 }
        else
          rest(rafter, { beam }, "fixed to the length beside it")
        end
      end
    end
    rest(rafter, posts, "held by the beams")
  end
  return beams, posts
end

function pattern.build(c)
  -- Rafters and beams are let into each other by a tenth of the rafters' depth in all.
  local seat = derive("seat", math.floor(mm(c.rafter.width) / 10), "a tenth of rafter width " .. print_length(c.rafter.width),
    c.rafter.width)
  local paired, wall, falls = c.beams == "paired", c.against == "wall", c.fall > 0
  -- What the end of a falling rafter asks of its brackets, by what a gale in a suburb lifts off the roof and the posts' sway turns
  -- (computed: 3 kN/m² of half of it, the steeper the more).
  local half = mm(c.depth) / 2 + mm(c.front_overhang)
  local steep = 1 + c.fall / 20
  local rafter_load = (c.fall > 6 or falls and mm(c.depth) > 2700) and math.max(1400, 0.0030 * mm(c.length) / math.max(1, c.rafters - 1) * half * steep) or 1400
  if falls then seat = 0 end
  check_sizes(c, seat)
  local beam_top = c.height + c.beam.width
  -- A single beam is let a little into the outer face of the posts.
  local let_in = paired and 0 or named("let in", measures.to_step(16, 1, 5 / 8))
  -- The underside of falling rafters runs through the back of each beam's top, the front outer one's first.
  local slope = math.rad(c.fall)
  local function under(y) return beam_top + (y - let_in) * math.tan(slope) end
  local clear = named("clear of the rafters", 10)
  -- Heads of a steep roof are cut to its slope, or the beam's fixing would stand too near their ends.
  local sloped = c.fall > 10
  local function top_of_post(y)
    if falls then return under(sloped and y + c.post.width or y) - clear end
    -- Beside a single beam the heads stay clear of the rafters, which they would press on when the posts lean.
    return paired and beam_top - seat or beam_top - seat - clear
  end
  local tallest = wall and c.height + c.beam.width or under(c.depth)
  if falls and not feet.on_shoes(c) and mm(c.in_ground) < 0.35 * mm(tallest) and c.brace_leg == 0 then
    remark("fall", "the back posts stand " .. print_length(tallest) .. " high and " .. print_length(c.in_ground)
      .. " in the ground: without braces they lean far in a gale", "less fall, less depth, or a section that is sold longer than "
      .. print_length(longest_sold(c.post)))
  end
  if c.brace_leg == 0 then
    remark("brace_leg", "there are no braces: the posts stand by " .. (feet.on_shoes(c) and "their shoes" or "their depth in the ground")
      .. ". Braces would pull at the holes and at their own fixings", "with brace_leg they want bolts through their laps and wider holes: the checks say how much")
  end
  local post_places = spread { count = c.posts, from = 0, to = c.length, width = c.post.thickness }
  -- The first rafter stands clear of a wing's left beam.
  local rafter_places = spread { count = c.rafters, from = c.wing > 0 and let_in + clear or 0, to = c.length, width = c.rafter.thickness }
  local all_beams, all_posts, all_ties, all_braces = {}, {}, {}, {}

  local function number_of(row, i) return row .. " " .. i end

  -- A single beam is jointed beside a post and not on it, where both ends would be prised off their seats; clear of the
  -- rafters and of the brackets on either side of falling ones; and where its fish plate has room. Gives these places, and how long a plate fits there.
  local function joints_of(centres)
    local places, plates, room = {}, {}, falls and 85 or 30
    local function is_clear(x)
      for _, near in ipairs(rafter_places) do
        if mm(x) > mm(near) - room and mm(x) < mm(near) + mm(c.rafter.thickness) + room then return false end
      end
      return true
    end
    local longest = named("fish plate", measures.to_step(1000, 50, 44))
    for i = 1, c.posts - 1 do
      local bay = centres[i + 1] - centres[i]
      for _, from in ipairs({ { centres[i], 1 }, { centres[i + 1], -1 } }) do
        for step = 0, math.floor(mm(bay) / 20) do
          local off = named("beside the post", 10 * step)
          local fits = least(longest, 2 * (off - c.post.thickness / 2 - named("clear of the post", 15)))
          local place = from[1] + from[2] * off
          if mm(fits) > 400 and is_clear(place) then
            table.insert(places, place)
            table.insert(plates, fits)
          end
        end
      end
    end
    -- Only where about the longest of them fits: a short one is asked for more.
    local most_long, kept, long = 0, {}, {}
    for _, plate in ipairs(plates) do most_long = math.max(most_long, mm(plate)) end
    for k, place in ipairs(places) do
      if mm(plates[k]) > 0.95 * most_long then
        table.insert(kept, place)
        table.insert(long, plates[k])
      end
    end
    return kept, long
  end
  local function beam_run(row, side, y)
    local centres = {}
    for _, x in pairs(post_places) do table.insert(centres, x + c.post.thickness / 2) end
    local from, to = -1 * c.side_overhang, c.length + c.side_overhang
    local places, plates = centres, {}
    if not paired then places, plates = joints_of(centres) end
    local runs = in_lengths(from, to, places, c.beam)
    local pieces = {}
    for i, run in pairs(runs) do
      local piece = place { name = "beam", where = row .. " " .. side .. (#runs > 1 and " " .. i or ""), role = "beam",
        duty = "beam", group = row .. " row", section = c.beam, runs = "right", wide = "up", straight = true,
        length = run.to - run.from, at = { x = run.from, y = y, z = under(y + c.beam.thickness) - c.beam.width } }
      if i == 1 then shape(piece, { ends = "start", profile = c.beam_end, under = "down", room = c.side_overhang }) end
      if i == #runs then shape(piece, { ends = "finish", profile = c.beam_end, under = "down", room = c.side_overhang }) end
      if i > 1 then rest(piece, { pieces[i - 1] }, paired and "both are fixed to the post they meet on" or "the fish plate joins them") end
      table.insert(pieces, piece)
      table.insert(all_beams, piece)
    end
    -- A fish plate on the outer face makes one beam of two lengths.
    for i = 2, paired and 0 or #pieces do
      local one, other, long = pieces[i - 1], pieces[i], nil
      for k, place in ipairs(places) do
        if mm(place) == mm(other.left) then long = plates[k] end
      end
      if long then
        local plate = place { name = "fish plate", where = row .. " " .. i - 1, role = "beam", duty = "nothing", group = row .. " row",
          section = c.fish_plate, runs = "right", wide = "up", length = long,
          at = { x = other.left - long / 2, y = row == "front" and one.front - c.fish_plate.thickness or one.back, z = one.bottom } }
        for _, piece in pairs({ one, other }) do
          meet(plate, piece)
          connect { bodies = { plate, piece }, kinds = { "bolt", "coach bolt", "structural screw" }, count = measures.metric() and 2 or 4, most = 4, least = 11.5, load = 7000 }
        end
      end
    end
    return pieces
  end

  local function reaches(piece, post) return piece.left < post.right and piece.right > post.left end

  local function hollowed(piece)
    if c.brace_hollow > 0 then hollow(piece, { face = "down", off = c.brace_hold, deep = c.brace_hollow }) end
    return piece
  end

  local function row_of(row, y, inner_way)
    local posts, post_top = {}, top_of_post(y)
    for i, x in pairs(post_places) do
      local post = place { name = "post", where = number_of(row, i), role = "post", group = row .. " row",
        section = c.post, runs = "up", wide = "back", straight = true, length = post_top - feet.begins(c),
        at = { x = x, y = y, z = feet.begins(c) } }
      if sloped then bevel(post, { ends = "finish", looks = { y = -1 * math.tan(slope), z = 1 } }) end
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
      -- The posts' shoulder carries a single beam, and one screw or bolt in the middle holds it there. Deeper shoulders and
      -- pairs of bolts would be prised apart when the posts lean.
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
            local piece = hollowed(brace { name = "brace", where = number_of(row, i) .. " " .. way, group = "braces",
              section = c.brace, foot = post, foot_face = way, head_face = "up", head_level = post_top,
              leg = c.brace_leg, low_across = low })
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
  -- A wall out of plumb is farther off up there than where `depth` was measured.
  local wall_at = mm(c.wall_out) ~= 0 and c.depth + c.wall_out or c.depth
  if wall then
    ledgers = {}
    -- Its lengths meet midway between rafters.
    local between = {}
    for i = 2, #rafter_places do table.insert(between, (rafter_places[i - 1] + rafter_places[i] + c.rafter.thickness) / 2) end
    local runs = in_lengths(-1 * c.side_overhang, c.length + c.side_overhang, between, c.ledger)
    for i, run in pairs(runs) do
      local piece = place { name = "ledger", where = #runs > 1 and "number " .. i or "", role = "ledger", group = "wall",
        section = c.ledger, runs = "right", wide = "up", straight = true, length = run.to - run.from,
        at = { x = run.from, y = wall_at - c.ledger.thickness, z = (falls and under(wall_at) or beam_top) - c.ledger.width } }
      -- High up: a row in the middle would be pulled twice as hard by what hangs on the front of the ledger.
      on_wall(piece, "back", { every = c.wall_every, least = 9, above = c.ledger.width / 4 })
      if i > 1 then rest(piece, { ledgers[i - 1] }, "both are fixed to the wall") end
      table.insert(ledgers, piece)
    end
    if mm(c.wall_out) ~= 0 then
      local top = ledgers[1].top
      local wedge = math.abs(mm(c.wall_out)) * mm(c.ledger.width) / mm(top)
      remark("wall_out", "the wall leans " .. print_length(named("lean", math.abs(mm(c.wall_out)))) .. " over " .. print_length(top)
        .. ", which is " .. print_length(named("wedge", wedge)) .. " over the ledger's own depth", "pack the ledger's "
        .. (c.wall_out > 0 and "upper" or "lower") .. " edge out by that at each fixing, so that it stands plumb and the rafters' ends meet it")
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
          local piece = hollowed(brace { name = "brace", where = (way == "back" and "front " or "back ") .. i .. " across",
            group = "braces", section = c.brace, foot = foot, foot_face = way, head_face = "up", head_level = level,
            leg = c.brace_leg, low_across = low })
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

  local wing_beams, wing_posts = {}, {}
  if c.wing > 0 then
    wing_beams, wing_posts = build_wing(c, back.outer, named("let in", measures.to_step(16, 1, 5 / 8)), beam_top - seat - clear, seat)
  end

  -- Rafters, let down over every beam and, at the wall, over the ledger. A falling one is struck along its underside; at the
  -- wall it is so much longer that its upper corner, too, reaches the plumb cut there.
  local start = front.outer[1].front - c.front_overhang
  local finish = wall and wall_at or back.outer[1].back + c.front_overhang
  local rafters, roof = {}, { "roof", "climber" }
  local function rafter_of(i, x)
    local duty, where = c.purlins > 0 and "beam" or roof, "number " .. i
    if not falls then
      -- Over a wing's beams they end with the back beam.
      local last = finish
      for _, beam in pairs(wing_beams) do
        if x < beam.right and x + c.rafter.thickness > beam.left then last = back.outer[1].back end
      end
      return place { name = "rafter", where = where, role = "rafter", group = "rafters", section = c.rafter,
        duty = duty, runs = "back", wide = "up", length = last - start, at = { x = x, y = start, z = beam_top - seat } }
    end
    local middle = x + c.rafter.thickness / 2
    local last = wall and finish + c.rafter.width * math.sin(slope) or finish
    local piece = lay { name = "rafter", where = where, role = "rafter", group = "rafters", section = c.rafter, duty = duty,
      wide = "up", ends = "square", from = { x = middle, y = start, z = under(start) }, to = { x = middle, y = last, z = under(last) } }
    if wall then bevel(piece, { ends = "finish", looks = { x = 0, y = 1, z = 0 } }) end
    return piece
  end
  for i, x in pairs(rafter_places) do
    local piece = rafter_of(i, x)
    shape(piece, { ends = "start", profile = c.rafter_end, under = "down", room = c.front_overhang })
    if not wall and piece.back > back.outer[1].back then shape(piece, { ends = "finish", profile = c.rafter_end, under = "down", room = c.front_overhang }) end
    local beds = {}
    for _, list in pairs({ front.outer, paired and front.inner or {}, back and back.outer or {},
      back and paired and back.inner or {}, ledgers or {} }) do
      for _, bed in pairs(list) do
        -- Where two lengths of beam meet under a rafter it is let down over both and fixed to the one that holds more of it.
        if piece.left < bed.right and piece.right > bed.left then
          if falls then birds_mouth(piece, bed) else halve(piece, bed) end
          local lap = least(piece.right, bed.right) - most(piece.left, bed.left)
          if lap >= c.rafter.thickness / 2 then
            -- Nothing keeps a raked one from rolling over in its bird's mouths: it has a bracket on either side.
            connect { bodies = { piece, bed }, kinds = falls and { "angle bracket" } or { "angle bracket", "screw" }, count = falls and 2 or 1,
              least = 4.5, load = falls and list == ledgers and math.max(3400, 2 * rafter_load) or rafter_load }
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
    -- So far up the rafters, at their lower side; on a fall they lean with the rafters.
    local function purlin(where, along, run)
      local name, group = "purlin", "purlins"
      if not falls then
        return place { name = name, where = where, role = "purlin", duty = roof, group = group, section = c.purlin,
          runs = "right", wide = "up", length = run.to - run.from, at = { x = run.from, y = start + along, z = rafters[1].top } }
      end
      local y = start + along * math.cos(slope) - c.rafter.width * math.sin(slope)
      local z = under(start) + along * math.sin(slope) + c.rafter.width * math.cos(slope)
      return lay { name = name, where = where, role = "purlin", duty = roof, group = group, section = c.purlin, wide = "up",
        turn = c.fall, lies = "back", from = { x = run.from, y = y, z = z }, to = { x = run.to, y = y, z = z } }
    end
    local reach = falls and rafters[1].length or finish - start
    for i, along in pairs(spread { count = c.purlins, from = off, to = reach - off, width = c.purlin.thickness }) do
      local before
      for k, run in pairs(runs) do
        local piece = purlin("number " .. i .. (#runs > 1 and " length " .. k or ""), along, run)
        if before then rest(piece, { before }, "both are fixed to the rafter they meet on") end
        before = piece
        for _, r in pairs(rafters) do
          -- Those over a wing's beams end before the last purlins.
          if piece.left < r.right and piece.right > r.left and try_meet(piece, r) then
            connect { bodies = { piece, r }, kinds = { "screw" }, least = 4.3, load = 400 }
          end
        end
      end
    end
  end

  for _, post in pairs(wing_posts) do table.insert(all_posts, post) end
  for _, post in pairs(all_posts) do feet.set(c, post) end
end

return pattern
