-- SPDX-License-Identifier: Apache-2.0
-- A ledged and braced gate leaf: boards side by side, three ledges behind them, a brace in each bay that rises from the
-- hinge side, let in by nothing but the trade's verbs.
local pattern = {
  name = "wicket",
  title = "Ledged and braced gate leaf",
  help = "Boards on three ledges with two braces.",
  choices = {
    { name = "width", unit = "length", least = 400, most = 1200, help = "of the leaf" },
    { name = "height", unit = "length", least = 800, most = 2000, default = 1200, help = "of the leaf" },
    { name = "board", unit = "section", role = "board", help = "boards" },
    { name = "ledge", unit = "section", default = "4x1.5", help = "ledges and braces" },
    { name = "boards", unit = "count", least = 2, most = 12,
      default = function(c) return math.floor((mm(c.width) + 2) / (mm(c.board.width) + 2)) end, help = "how many boards" },
    { name = "hinge", unit = "option", options = { "left", "right" }, default = "left", help = "side of the hinges" },
  },
}

function pattern.build(c)
  local boards = {}
  for i, x in pairs(spread { count = c.boards, from = 0, to = c.width, width = c.board.width }) do
    table.insert(boards, place { name = "board", where = "number " .. i, role = "board", group = "leaf",
      duty = { "leaf", "screen" }, section = c.board, runs = "up", wide = "right", length = c.height, at = { x = x, y = 0, z = 0 } })
  end
  local function ledge(where, z)
    local piece = place { name = "ledge", where = where, role = "rail", group = "leaf", section = c.ledge, runs = "right",
      wide = "up", length = c.width - 10, at = { x = 5, y = c.board.thickness, z = z } }
    for _, b in pairs(boards) do
      meet(b, piece)
      fix { through = { b, piece }, kind = { "screw", "nail" }, count = 2 }
    end
    return piece
  end
  local low, mid = ledge("lower", 175), ledge("middle", (c.height - c.ledge.width) / 2)
  local top = ledge("upper", c.height - 100 - c.ledge.width)
  local function brace_between(where, foot, head)
    local near, far = foot.left, foot.right
    local piece = strut { name = "brace", where = where, group = "leaf", section = c.ledge, foot = foot, head = head,
      along = "right", from = c.hinge == "left" and near or far, to = c.hinge == "left" and far or near,
      low_across = c.board.thickness }
    rest(piece, { foot, head }, "nailed through the boards")
    for _, b in pairs(boards) do
      if try_meet(b, piece) then fix { through = { b, piece }, kind = { "screw", "nail" }, count = 1 } end
    end
  end
  brace_between("lower", low, mid)
  brace_between("upper", mid, top)
  assembly("leaf", { flat = true })
end

return pattern
