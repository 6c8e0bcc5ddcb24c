-- SPDX-License-Identifier: Apache-2.0
-- A bench round a tree: a ring of straight sides, mitred where they meet. At each corner two bearers lie on a pair of
-- legs, stout posts as wide as both; the slats end there, far enough past the bearers for their screws.
--
--   x  to the right, 0 in the middle of the trunk
--   y  to the back, 0 in the middle of the trunk
--   z  up from the ground
--
--      ╲▁▁▁▁▁▁▁▁▁╱       seen from above, one side of six:
--      ╱╲═══════╱╲       slats from mitre to mitre
--     ╱  ╲═════╱  ╲      two bearers and their legs along each mitre
--         (   )
--        trunk

local seats = shared "seats"

-- A pair of bearers over all, along a side.
local function across(c, half) return mm(c.leg.width) / math.cos(half) end

local function outer_span(c, sides)
  local half = math.pi / sides
  return 2 * (mm(c.trunk) / 2 + mm(c.growth) + mm(c.depth)) * math.tan(half) - across(c, half)
end

-- Of a side: two pairs side by side, and a hand between them.
local function least_inside(c) return across(c, math.pi / c.sides) + 60 end

local pattern = {
  name = "tree-bench",
  title = "Bench round a tree",
  help = "A ring of mitred slats round a trunk, on legs at its corners, with room for the tree to grow.",
  choices = {
    { name = "trunk", unit = "length", least = 50, most = 1500, default = 350, group = "Size", help = "diameter of the trunk, where it is widest up to the seat" },
    { name = "sides", unit = "count", least = 5, most = 10, group = "Kind",
      -- Few enough to leave the bearers room inside, so many that slats 28 thick reach across outside.
      default = function(c) return mm(c.trunk) <= 260 and 6 or mm(c.trunk) <= 800 and 8 or 10 end,
      help = "of the ring: six with mitres of 30 degrees, eight with 22.5; more round a thick trunk, where slats would span too far" },
    { name = "slat", unit = "section", role = "deck", group = "Timber", help = "slats of the seat: broad ones, held by two screws at each bearer" },
    { name = "bearer", unit = "section", role = "frame", group = "Timber", help = "bearers, a pair at each corner" },
    { name = "leg", unit = "section", role = "post_large", group = "Timber",
      help = "legs under a pair of bearers, as wide as the pair is over all: stout, so that the slats' screws stand clear of their ends" },
    { name = "growth", unit = "length", least = 50, most = 900, group = "Size",
      default = function(c) return math.max(150, math.ceil((least_inside(c) / 2 / math.tan(math.pi / c.sides) - mm(c.trunk) / 2) / 10) * 10) end,
      help = "clear all round between trunk and seat, for the tree to grow: 100 or more; round a thin trunk more, where the bearers need it" },
    { name = "seat_height", unit = "length", least = 300, most = 620, default = 450, group = "Size",
      help = "top of the seat above the ground: 430 to 480 for most, lower for children, 470 to rise from easily" },
    { name = "slats", unit = "count", least = 2, most = 20, group = "Kind",
      default = function(c) return seats.slats(c, 430) end, help = "slats of each side, evenly spaced" },
    { name = "depth", unit = "length", least = 150, most = 700, group = "Size",
      default = function(c) return seats.depth(c) end, help = "of the seat, square to a side" },
    { name = "mitre_gap", unit = "length", least = 2, most = 8, default = 5, group = "Kind",
      help = "between the slats of two sides, for water and for swelling" },
    { name = "in_ground", unit = "length", least = 200, most = 900, default = 500, group = "Ground", help = "how far the legs stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 150, most = 500, default = 300, group = "Ground", help = "width of the holes" },
  },
}

local function check(c, half, inner, outer)
  seats.check_height(c)
  if mm(c.growth) < 100 then
    remark("growth", print_length(c.growth) .. " round the trunk is soon grown through; a tree that rubs on timber is wounded",
      "100 or more, and saw the inner slats back in time")
  end
  local inside = 2 * mm(inner) * math.tan(half)
  if inside < least_inside(c) then
    refuse("growth", "an inside of " .. print_length(inside) .. " a side leaves no room between the bearers of two corners", "more room round the trunk, or fewer sides")
  end
  if outer_span(c, c.sides) > seats.longest_span(c.slat) then
    remark("sides", "the outer slats span " .. print_length(outer_span(c, c.sides)) .. ", more than " .. print_length(seats.longest_span(c.slat)) .. " for slats "
      .. print_length(c.slat.thickness) .. " thick", "more sides, or thicker slats")
  end
  remark("trunk", string.format("%d sides, mitres of %.1f degrees; a side is %s inside and %s outside", c.sides, math.deg(half), print_length(inside),
    print_length(2 * mm(outer) * math.tan(half))), "lay the sides out round the tree before you dig: no trunk is round")
  remark("in_ground", "dig by hand among the roots, and turn the ring or shift a leg rather than cut one thicker than a thumb",
    "no fork or breaker within the crown's root plate; ask first where the tree is protected")
end

function pattern.build(c)
  local half = math.pi / c.sides          -- between the middle of a side and its corners
  local sin, cos, tan = math.sin(half), math.cos(half), math.tan(half)
  local inner = named("middle of the trunk to the seat", c.trunk / 2 + c.growth)
  local outer = inner + c.depth
  check(c, half, inner, outer)

  local under = c.seat_height - c.slat.thickness
  local beside = (c.leg.width - c.bearer.thickness) / 2     -- from the mitre to the middle of a bearer
  local back = named("bearers short of the seat's edges", 4)

  -- ---- corners: a pair of bearers along the mitre, on a pair of legs ----------------------------------------------
  local corners, held = {}, {}
  for k = 1, c.sides do
    local turn = -math.pi / 2 - half + (k - 1) * 2 * half
    local ux, uy = math.cos(turn), math.sin(turn)               -- outwards along the mitre
    -- A point so far out along the mitre and so far to its left, seen from the trunk.
    local function at(out, left, z) return { x = out * ux - left * uy, y = out * uy + left * ux, z = z } end
    -- Their ends are cut along the seat's edges.
    local from, to = (inner + back - beside * sin) / cos, (outer - back - beside * sin) / cos
    local pair = {}
    for _, side in ipairs({ { "right", -1 }, { "left", 1 } }) do
      table.insert(pair, lay { name = "bearer", where = "corner " .. k .. " " .. side[1], role = "beam", duty = "nothing", section = c.bearer, wide = "up",
        edge = "high", from_turn = side[2] * math.deg(half), to_turn = side[2] * math.deg(half), from = at(from, beside * side[2], under),
        to = at(to, beside * side[2], under) })
    end
    local inset = named("legs short of the bearers' ends", 10) + c.leg.thickness / 2
    for _, one in ipairs({ { "inner", from + inset }, { "outer", to - inset } }) do
      local place = at(one[2], 0, 0)
      local ground = ground_at(place.x, place.y)
      local leg = lay { name = "leg", where = "corner " .. k .. " " .. one[1], role = "post", duty = "seat", section = c.leg, wide = "right",
        turn = math.deg(turn) + 90, edge = "middle", ends = "square", from = { x = place.x, y = place.y, z = ground - c.in_ground },
        to = { x = place.x, y = place.y, z = under - c.bearer.width }, note = "its wide side to the trunk, square to the corner's line" }
      post_in_ground(leg, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
      for _, bearer in ipairs(pair) do
        meet(bearer, leg)
        table.insert(held, { bearer, leg })
      end
    end
    corners[k] = pair
  end

  -- ---- sides: slats from mitre to mitre ------------------------------------------------------------------------------------
  local gap = seats.gap(c, c.depth)
  seats.mind_fingers(gap)
  for k = 1, c.sides do
    local out = -math.pi / 2 + (k - 1) * 2 * half
    local nx, ny = math.cos(out), math.sin(out)                 -- outwards, square to the side
    local on = { corners[k][2], corners[k % c.sides + 1][1] }
    for j = 1, c.slats do
      local middle = inner + c.slat.width / 2 + (c.slat.width + gap) * (j - 1)
      local reach = middle * tan - c.mitre_gap / 2 / cos
      local z = under + c.slat.thickness / 2
      local piece = lay { name = "seat slat", where = "side " .. k .. " number " .. j, role = "board", duty = "seat", section = c.slat, wide = "up", turn = 90,
        edge = "middle", from_turn = -1 * math.deg(half), to_turn = math.deg(half),
        from = { x = middle * nx + reach * ny, y = middle * ny - reach * nx, z = z }, to = { x = middle * nx - reach * ny, y = middle * ny + reach * nx, z = z } }
      for _, bearer in ipairs(on) do
        meet(piece, bearer)
        connect { bodies = { piece, bearer }, kinds = { "screw", "structural screw" }, count = 2, most = 3, least = 4.5, load = 500 }
      end
    end
  end
  -- Brackets sit where nothing else is, so they come when all stands.
  for _, pair in ipairs(held) do
    connect { bodies = pair, kinds = { "angle bracket", "structural screw", "screw" }, count = 1, least = 4.5, load = 1250, alike = "leg to bearer" }
  end
end

return pattern
