-- SPDX-License-Identifier: Apache-2.0
-- What posts stand in or on: the ground itself, or metal shoes that hold them upright, each bolted down in a concrete pad.

local measures = shared "measures"

local feet = {}

-- The choice, for a pattern's list; it stands before those that ask `on_shoes`. `shoes(c)`: where shoes are usual.
function feet.choice(shoes)
  return { name = "feet", unit = "option", options = { "in the ground", "shoe" }, group = "Ground",
    default = function(c) return shoes and shoes(c) and "shoe" or "in the ground" end,
    help = "posts set in the ground, or clear of it on metal shoes that hold them upright, each bolted down in a concrete pad" }
end

function feet.on_shoes(c) return c.feet == "shoe" end

-- Where a post's timber begins above the ground; below 0 in it.
function feet.begins(c)
  return feet.on_shoes(c) and named("clear of the ground, on its shoe", measures.usual(50, 2)) or -1 * c.in_ground
end

function feet.set(c, post)
  local hole = { diameter = c.hole_diameter, depth = c.in_ground + c.gravel, gravel = c.gravel }
  if feet.on_shoes(c) then
    hole.upright = true
    post_on_shoe(post, hole)
  else
    post_in_ground(post, hole)
  end
end

return feet
