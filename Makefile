# liftsplit: see README.md for the two commands that do everything.
#   make            the program, build/liftsplit
#   make demo       install what is missing, build, divide the demo field's gas
#   make check      install what is missing, then everything that CI runs
# BUILD=DIR builds elsewhere; DEV=1 turns warnings into errors.

BUILD ?= build
CC ?= gcc
LAYERS = base num fluid well curve field plan scenario report
VERSION = 0.1.0

WARN = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wdouble-promotion \
       -Wformat=2 -Wstrict-prototypes -Wmissing-prototypes -Wundef -Wvla \
       -Wwrite-strings -Wswitch-enum -Wcast-qual
ifdef DEV
WARN += -Werror
endif
OPT ?= -O2 -g
SANITIZE ?=
CFLAGS += -std=gnu17 -ffp-contract=off -fopenmp $(OPT) $(WARN) $(SANITIZE)
CPPFLAGS += -Iinclude -D_GNU_SOURCE -DLIFTSPLIT_VERSION='"$(VERSION)"'
LDLIBS = -lglpk -lyaml -lcsv -ljansson -lm

lib = $(BUILD)/lib/$(1).a
objects = $(patsubst %.c,$(BUILD)/%.o,$(wildcard $(1)/*.c))
# A layer's tests link that layer and the lower ones only: this proves the
# layering at link time.
upto = $(foreach l,$(1),$(call lib,$(l)))
BELOW_base = base
BELOW_num = num base
BELOW_fluid = fluid num base
BELOW_well = well fluid num base
BELOW_curve = curve well fluid num base
BELOW_field = field curve well fluid num base
BELOW_plan = plan field curve well fluid num base
BELOW_scenario = scenario field curve well fluid num base
BELOW_report = report plan field curve well fluid num base
BELOW_cli = report scenario plan field curve well fluid num base

.PHONY: all
all: $(BUILD)/liftsplit

$(BUILD)/.gitignore:
	@mkdir -p $(BUILD)
	@echo '*' > $@

$(BUILD)/%.o: %.c | $(BUILD)/.gitignore
	@mkdir -p $(@D)
	$(CC) $(CPPFLAGS) $(CFLAGS) -MMD -MP -c -o $@ $<

define layer_rule
$(call lib,$(1)): $(call objects,src/$(1))
	@mkdir -p $$(@D)
	@rm -f $$@
	ar rcs $$@ $$^
endef
$(foreach l,$(LAYERS),$(eval $(call layer_rule,$(l))))

$(BUILD)/liftsplit: $(call objects,src/cli) $(call upto,$(BELOW_cli))
	$(CC) $(CFLAGS) -o $@ $^ $(LDLIBS)

# --- unit tests: one binary per layer --------------------------------------
UNIT_LAYERS = $(patsubst tests/unit/%,%,$(wildcard tests/unit/*))
SUPPORT = $(call objects,tests/support)
TEST_LIBS_num = -lsundials_cvode -lsundials_nvecserial
define unit_rule
$(BUILD)/unit-$(1): $(call objects,tests/unit/$(1)) $(SUPPORT) \
    $(call upto,$(BELOW_$(1)))
	$(CC) $(CFLAGS) -o $$@ $$^ $(LDLIBS) $(TEST_LIBS_$(1)) -lcriterion
.PHONY: unit-$(1)
unit-$(1): $(BUILD)/unit-$(1)
	$$<
endef
$(foreach l,$(UNIT_LAYERS),$(eval $(call unit_rule,$(l))))

.PHONY: unit
unit: $(foreach l,$(UNIT_LAYERS),unit-$(l))

.PHONY: clean
clean:
	rm -rf $(BUILD)

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
