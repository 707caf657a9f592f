/* Every tolerance and iteration limit of the program: name, unit, reason. */
#ifndef NUM_TOL_H
#define NUM_TOL_H

/* March: error allowed per step, relative to pressure. 1e-6 keeps curves
 * smooth enough that slopes of neighbouring wells can be compared. */
#define TOL_MARCH_REL 1e-6
/* Relative step below which a march gives up: far under any real layer. */
#define TOL_MARCH_STEP_MIN 1e-9
/* Way from a boundary back to it, relative, under which the march slides along
 * the boundary: far under any real layer, far over what the margin leaves. */
#define TOL_MARCH_SLIDE 1e-3
/* Way over which a slide feels the margin change, relative: short against any
 * curvature, long against the rounding of the margin. */
#define TOL_MARCH_FEEL 1e-6
/* Steps and regime changes in one leg before a march is called stuck. */
#define TOL_MARCH_STEPS 2000
#define TOL_MARCH_EVENTS 40
/* Events in one leg after which each one doubles TOL_MARCH_MARGIN: where two
 * boundaries meet, a march can go to and fro in the corner. */
#define TOL_MARCH_PATIENCE 10
/* A regime boundary is hit when the margin is this near to zero: with a jump of
 * a fifth of the slope, an error of 2e-7 of the way. */
#define TOL_MARCH_MARGIN 1e-6
/* Tries to put the end of a step on a boundary. */
#define TOL_MARCH_LOCATE 40

/* Change of dTVD/dMD under which two survey legs are one straight line. */
#define TOL_INCLINE 1e-9

/* Root finding: function calls before it is called stuck. */
#define TOL_ROOT_CALLS 100

/* Newton for the z-factor: relative change of reduced density at the end, and
 * iterations; the iteration is quadratic, so 1e-12 costs one step over 1e-6. */
#define TOL_Z_REL 1e-12
#define TOL_Z_ITERATIONS 60

/* Colebrook: relative change of the friction factor at the end. */
#define TOL_FRICTION_REL 1e-10
#define TOL_FRICTION_ITERATIONS 30

/* Casing pressure at which a half-open valve passes a rate, relative: rounding
 * is 1e-16, and a curve's slopes are taken from it. */
#define TOL_CASING_REL 1e-12

/* Operating point: relative change of liquid rate at the end. */
#define TOL_RATE_REL 1e-8
/* Rates looked at, as parts of what the reservoir gives at no pressure. Under
 * the floor no correlation was fitted and a well is called dead; the ceiling
 * keeps bottom-hole pressure above 0. */
#define TOL_RATE_FLOOR 0.01
#define TOL_RATE_CEILING 0.999
/* Place of a hump's top, relative to rate: its height is then exact to the
 * square of it. */
#define TOL_HUMP_REL 1e-4

/* Valve string: gas that several stations share, and the casing pressure at
 * which they do, relative; smooth enough for slopes of curves. The tries
 * before a slower method takes over, and the longest step in pressure. */
#define TOL_STRING_REL 1e-8
#define STRING_TRIES 12
#define STRING_STEP 0.02

/* Intermittent lift. A slug is at rest when it is within this part of where
 * inflow ends, which it never reaches: 14 time constants of a straight
 * inflow. */
#define TOL_SLUG_REST 1e-6
/* Length of the slug of a period, relative: the period is then exact to 1e-6
 * even where inflow has all but ended. */
#define TOL_SLUG_REL 1e-12

/* Unloading: gas that valve and tubing agree on, as a part of the most it
 * passes, and liquid, as a part of the most that goes round: far inside a
 * quasi-steady estimate. What goes round where pressure limits it, relative: a
 * hundredth of the time between two valves. */
#define TOL_UNLOAD_REL 1e-4
#define TOL_UNLOAD_ROUND 0.01

/* A well whose stations share the gas: its liquid rate, relative, and what may
 * be left of the pressure there, Pa (10 psi). Where more is left, outflow jumps
 * past inflow. */
#define TOL_WORKING_REL 1e-4
#define TOL_WORKING_PA 7e4
/* Diagnosis: depth of a hole, the rate behind a wrong meter, relative: gauges
 * show a hundred times that. */
#define TOL_DIAGNOSE_REL 1e-4

/* Curve: error of a straight line between points, as a part of peak oil. */
#define TOL_CURVE_PEAK 1e-3
/* Curve: a jump is closed in to this part of the gas range. */
#define TOL_CURVE_GAS 1e-6
/* Curve: most points, far more than the tolerance needs; and how often the
 * gas is halved in search of a rate at which a well flows. */
#define CURVE_POINTS 400
#define CURVE_HALVINGS 7
/* Secant for one sample: error, relative, that the last step may leave, and
 * steps before another method takes over. */
#define TOL_SECANT_REL 1e-6
#define TOL_SECANT_STEPS 8
/* Place of the threshold's rate and of the peak's gas, relative: both are flat
 * there, so threshold gas and peak oil are exact to the square. */
#define TOL_FOLD_REL 1e-3
#define TOL_PEAK_REL 1e-3

/* Gas balance: closing error as a part of throughput that is a fault of ours
 * (design rule). */
#define TOL_BALANCE_REL 1e-9
/* Rounds in which units share gas and the fuel for it: each leaves the fuel's
 * part of the error, 30 % at most. */
#define BALANCE_ROUNDS 40

/* Linear programs: feasibility and reduced costs, relative. Below the 1e-7 of
 * the library's defaults, so that a plan meets its limits to TOL_LIMIT_REL
 * with room to spare. */
#define TOL_LP_REL 1e-9
/* Distance of a whole-numbered column from a whole number. */
#define TOL_LP_WHOLE 1e-7
/* Simplex iterations before it is called stuck: a floor, and so many per row
 * and column (solves seen need 2 or 3). */
#define TOL_LP_ITERATIONS_MIN 10000
#define TOL_LP_ITERATIONS_PER_ROW 20

/* Plan. A limit is met when passed by no more than this part of it; a bound
 * of 0 counts as TOL_LIMIT_SM3S (3 Mscf/d; no meter shows a millionth of
 * it). */
#define TOL_LIMIT_REL 1e-6
#define TOL_LIMIT_SM3S 1e-3
/* Casing pressure of a planned rate above the annulus limit, relative (0.01 psi
 * in 1,000): what straight lines between the curve's points may add; no gauge
 * shows it. */
#define TOL_LIMIT_CASING 1e-5
/* Sums and rates of a plan against the curves, relative: rounding only. */
#define TOL_PLAN_SUM_REL 1e-9
/* Rates closer than this part are the same: units were changed on the way. */
#define TOL_SAME_RATE 1e-9
/* A rate changed by less (0.0003 Mscf/d) is not moved: no choke sets it. */
#define TOL_MOVE_SM3S 1e-7
/* Water and formation gas count as proportional to oil within this part. */
#define TOL_PLAN_RATIO 1e-9
/* Kinks of a curve that are taken for noise and bridged, as a part of peak
 * oil: 1e-3 of what the curve itself may be off, and below the gap. */
#define TOL_PLAN_KINK 1e-6
/* Part of a straight line that rounding may keep a set point off its end. */
#define TOL_PLAN_SNAP 1e-9
/* Relative gap at which a plan is called optimal, and the default at which a
 * proof may end: 0.001 % of a field's oil is below any meter. */
#define TOL_PLAN_OPTIMAL 1e-6
#define TOL_PLAN_GAP 1e-5
/* The same of a plan through an outage: what its wells will do is not known
 * better, and an order cannot wait for more. */
#define TOL_OUTAGE_GAP 5e-3
/* Part of today's value that a cut list may lose at each step for fewer
 * changes: there are only minutes. */
#define LADDER_LOSS 5e-3
/* Loss of a mode, as a part of the whole, up to which it takes part in the
 * search for a first plan. */
#define TOL_PLAN_FIRST_LOSS 1e-5
/* Part of the gap asked for that a branch and bound may use up itself. */
#define TOL_PLAN_GAP_SHARE 0.5
/* Plans whose values differ by no more than this part are equal: ties. */
#define TOL_PLAN_TIE 1e-9
/* What gas bought, gas flared, and the rank of a well weigh in a tie, as parts
 * of what lift gas weighs: so that each decides after the one before it. */
#define TIE_BOUGHT 1e-2
#define TIE_FLARE 1e-3
#define TIE_RANK 1e-4
/* What summing thousands of doubles may lose, relative. */
#define TOL_PLAN_ROUND 1e-13
/* Value that counts as none when a relative gap is taken, in the plan's own
 * units: a millionth of an average well. */
#define TOL_PLAN_ABS 1e-6
/* How far a price holds: distance from an end of a straight piece under which
 * a well stands on it, in average wells' gas; what moves by less than this part
 * does not move; and how well the price found anew must agree, relative. */
#define TOL_RANGE_END 1e-8
#define TOL_RANGE_RATE 1e-9
#define TOL_RANGE_PRICE 1e-5
/* Nodes of the branch and bound, and nodes times rows of the program, which
 * is what takes the time: some 5 s on one core of 2.6 GHz. Counts and not
 * seconds, so that a plan is the same on a slow machine. */
#define TOL_PLAN_NODES 20000
#define TOL_PLAN_WORK 4e5
/* Wells up to which a field is solved as a whole. */
#define PLAN_FLAT_WELLS 60
/* And up to which that is tried when the auction is left without an answer. */
#define PLAN_FLAT_MOST 1000
/* Nodes spent on ties between plans of equal value. */
#define TOL_PLAN_TIE_NODES 500

/* Small dense programs, whose numbers are near 1: how far a row or column may
 * be past a bound, relative to it, above rounding and far below any limit's
 * tolerance; a gain per unit that counts, as a part of the largest price; the
 * smallest pivot, as dividing by less loses half of the digits. */
#define TOL_SIMPLEX_REL 1e-11
#define TOL_SIMPLEX_GAIN 1e-12
#define TOL_SIMPLEX_PIVOT 1e-8
/* A basis is singular when less than this, the square of the smallest pivot
 * allowed, is left of a column. */
#define TOL_INVERSE_PIVOT 1e-16
/* Pivots after which the inverse is made afresh; steps that lead nowhere before
 * Bland's rule takes over; steps before it is called stuck, in all and per
 * column (solves seen need 1 or 2). */
#define SIMPLEX_FRESH 50
#define SIMPLEX_STILL 30
#define SIMPLEX_STEPS 1000
#define SIMPLEX_STEPS_PER 20
/* How dear passing a row becomes against the price it started with, before no
 * plan is said to be possible: more than any two set points that a choke can
 * tell apart. How often boxes are widened: a row needs at most 10. */
#define MIXTURE_CAP 1e12
#define MIXTURE_ROUNDS 200
/* Half width of the box round a price that should be near, relative; Newton
 * steps towards such prices: by time, on blocks of 15 wells and 1 to 3 rows.
 * How far a price may leap, against its mean; what keeps like rows apart. */
#define MIXTURE_BOX 0.05
#define MIXTURE_NEWTON 1
#define MIXTURE_LEAP 0.25
#define MIXTURE_RIDGE 1e-6

/* Blocks: how near value and bound come, as a part of what the wells make at
 * their best; how far a row may be passed, relative: ten times the hair that a
 * mixture may be past it. Most wells of a block: its search grows with them.
 * Nodes spent beyond those allowed while there is no plan. */
#define TOL_BLOCK_REL 1e-9
#define TOL_BLOCK_ROW 1e-10
#define BLOCK_WELLS 40
#define BLOCK_DIVE 200

/* The search for prices, in typical prices of each row (at which a whole row is
 * worth all that the wells can make): first reach round the best so far, how it
 * grows when at least this part of a promise is kept, by a leap where the reach
 * keeps a row from being met, and shrinks; caps, from the first to the last,
 * past which limits are taken to contradict each other; offers at most; groups
 * of blocks whose offers are mixed by themselves (of 4 to 24 the fastest at
 * 1,000 and 20,000 wells), and blocks of a group at least; what a row is about
 * at least, in the problem's units. */
#define PRICES_RADIUS 0.5
#define PRICES_GROW 2.0
#define PRICES_LEAP 4.0
#define PRICES_GROW_FROM 0.5
#define PRICES_SHRINK 0.5
#define PRICES_CAP 1e3
#define PRICES_CAP_STEP 1e3
#define PRICES_CAP_LAST 1e9
#define PRICES_OFFERS 128
#define PRICES_GROUPS 8
#define PRICES_GROUP_LEAST 2
#define PRICES_SIZE_LEAST 0.1
/* Rows of a mixture passed by so little, relative and summed, hold; a weight
 * so small is none; gap at which set points are best, as a part of that of
 * the mixture, and relative at least: under any tie. */
#define TOL_PRICES_PAST 1e-9
#define TOL_PRICES_WEIGHT 1e-9
#define PRICES_SETPOINT_SHARE 4e-3
#define TOL_PRICES_SETPOINTS 1e-11
/* Slopes are the same when they are in this many steps of their size: 2^34, a
 * hundredth of a tie. */
#define TWIN_STEPS 17179869184.0
/* Asks for the set points of given modes. */
#define SETPOINT_ASKS 60
/* Part by which a plan's limits are tightened, so that rounding never makes
 * a plan better than its bound; less than what blocks let pass, as wells that
 * fit exactly must still do so. */
#define TOL_PLAN_SHRINK 1e-11
/* A part of the blocks, for prices to begin with: so many at least, at most
 * every so-many-th; gap in ranges of the goal, asks, and a cap past which they
 * do not speak for the whole; reach round what they say. */
#define SAMPLE_CAP 1.0
#define SAMPLE_BLOCKS 16
#define SAMPLE_STEP 16
#define TOL_SAMPLE 1e-3
#define SAMPLE_ASKS 30
#define PRICES_RADIUS_NEAR 0.05
/* Branch and bound over units and modes: part of the gap asked for that it
 * uses, so that ties and rounding have the rest; asks for a node's prices;
 * newest offers handed down beside those in use; nodes whose bound only wells
 * below their curves reach, before other modes are given up. */
#define AUCTION_BELOW 50
#define TOL_AUCTION_SHARE 0.9
#define AUCTION_ASKS 60
#define AUCTION_OFFERS_NEWEST 8
/* Nodes of a block's own branch and bound: blocks seen need under 100. */
#define AUCTION_BLOCK_NODES 300

/* Impossible plans: clock for one question how far a limit has to move; and
 * the amount of anything, Sm3/s or W, that no field reaches. */
#define RELAX_TIME_S 10.0
#define RELAX_ENDLESS 1e9

/* Market: points of the value curve nearer than this are one (0.3 Mscf/d); and
 * the step past a corner, as a part of the way to the end. */
#define TOL_MARKET_SM3S 1e-4
#define MARKET_STEP 1e-4
/* Prices nearer than this part of the highest one tried are one. */
#define MARKET_PRICE_STEP 1e-3
/* Water handling that is tried: 10 % more. */
#define MARKET_WATER 1.1

/* Outage. What being past a limit costs, in the problem's units, where no
 * curve is steeper than some tens; how often and how far it is raised when that
 * was not enough; and what counts as past, likewise. Room for any sum of wells'
 * uses, each about 1: no bound. */
#define OUTAGE_ELASTIC 1e3
#define OUTAGE_ELASTIC_STEP 1e2
#define OUTAGE_ELASTIC_LAST 1e7
#define TOL_OUTAGE_PAST 1e-6
#define OUTAGE_SUM_MOST 1e3
/* Search for prices: part of the best so far in the next; rounds at most, and
 * while wells are being fixed; rounds after which a way without weight is
 * forgotten; part of the gap asked for that is left to the search. */
#define OUTAGE_SMOOTH 0.7
#define OUTAGE_ROUNDS 200
#define OUTAGE_ROUNDS_FIXING 4
#define OUTAGE_IDLE 12
#define OUTAGE_GAP_SHARE 0.4
/* Fixing wells: those of so much weight at once, and a part of the others;
 * another part where there are few of them. */
#define OUTAGE_FIX_WEIGHT 0.99
#define OUTAGE_FIX_PART 0.25
#define OUTAGE_FIX_PART_FEW 0.1
#define OUTAGE_FIX_MANY 100
/* Part of the shifts' moves kept back while wells are being fixed, when there
 * was no plan with all of them. */
#define OUTAGE_MOVES_SPARE 0.15
/* Ways among which the best choice is searched for as a whole. */
#define OUTAGE_CHOOSE_WAYS 600
/* Different fields solved alone for prices to begin with, and their gap. */
#define OUTAGE_ALONE 8
#define TOL_OUTAGE_ALONE 1e-3
/* Nodes for the units that run and the periods with flaring, wells given. */
#define OUTAGE_STATION_NODES 2000

/* Input at the very edge of an allowed range, relative: unit conversion may
 * move the last digits. */
#define TOL_INPUT_RANGE 1e-9
/* Depths in m that name the same place: a tubing tally is not more exact. */
#define TOL_INPUT_DEPTH_M 0.1
/* Oil and water of a test against its liquid, as a part: common practice for
 * rounding in reports, no source. */
#define TOL_INPUT_SUM 0.01

#endif
