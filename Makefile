# liftsplit: see README.md for the two commands that do everything.
#   make            the program, build/liftsplit
#   make demo       install what is missing, build, divide the demo field's gas
#   make check      install what is missing, then everything that CI runs
#   make unit-LAYER | unit | cli | lint | fmt | asan | valgrind | bench
#   make install    PREFIX=/usr/local DESTDIR=
# BUILD=DIR builds elsewhere; DEV=1 turns warnings into errors.

MAKEFLAGS += --no-print-directory
BUILD ?= build
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
LDFLAGS += -Wl,--as-needed
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
	@echo '  compile $<'
	@$(CC) $(CPPFLAGS) $(CFLAGS) -MMD -MP -c -o $@ $<

define layer_rule
$(call lib,$(1)): $(call objects,src/$(1))
	@mkdir -p $$(@D)
	@rm -f $$@
	@ar rcs $$@ $$^
endef
$(foreach l,$(LAYERS),$(eval $(call layer_rule,$(l))))

$(BUILD)/liftsplit: $(call objects,src/cli) $(call upto,$(BELOW_cli))
	@echo '  link $@'
	@$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LDLIBS)

# --- unit tests: one binary per layer --------------------------------------
UNIT_LAYERS = $(patsubst tests/unit/%/,%,\
                         $(sort $(dir $(wildcard tests/unit/*/*.c))))
# An archive, so that a low layer's tests take only what they can link.
SUPPORT = $(call lib,support)
$(SUPPORT): $(call objects,tests/support)
	@mkdir -p $(@D)
	@rm -f $@
	@ar rcs $@ $^
# The assertions of Criterion 2.4.1 assign an int to a one-bit flag.
$(BUILD)/tests/%.o: WARN += -Wno-conversion -Wno-missing-field-initializers
$(BUILD)/tests/%.o: CPPFLAGS += -Itests
TEST_LIBS_num = -lsundials_cvode -lsundials_nvecserial
TEST_LIBS_well = $(TEST_LIBS_num)
define unit_rule
$(BUILD)/unit-$(1): $(call objects,tests/unit/$(1)) $(SUPPORT) \
    $(call upto,$(BELOW_$(1)))
	@echo '  link $$@'
	@$(CC) $(CFLAGS) $(LDFLAGS) -o $$@ $$^ $(LDLIBS) \
	    $(TEST_LIBS_$(1)) -lcriterion
.PHONY: unit-$(1)
unit-$(1): $(BUILD)/unit-$(1)
	@tools/run-unit $$<
endef
$(foreach l,$(UNIT_LAYERS),$(eval $(call unit_rule,$(l))))

UNITS = $(foreach l,$(UNIT_LAYERS),$(BUILD)/unit-$(l))
.PHONY: unit
unit: $(UNITS)
	@tools/run-unit $^

# --- tests of the program, from outside ------------------------------------
.PHONY: cli
cli: $(BUILD)/liftsplit
	@LIFTSPLIT=$(abspath $<) tools/run-scripts tests/cli/*.sh

.PHONY: test
test: unit cli

# --- the source as text ----------------------------------------------------
C_FILES = $(sort $(wildcard include/*/*.h src/*/*.[ch] tests/*/*.[ch] \
                            tests/*/*/*.[ch]))
FORMAT = clang-format --style=file:tools/clang-format.yml

.PHONY: fmt fmt-check
fmt:
	@$(FORMAT) -i $(C_FILES)
fmt-check:
	@$(FORMAT) --dry-run -Werror $(C_FILES)

.PHONY: rules
rules: $(BUILD)/liftsplit
	tools/check-layers
	tools/check-size
	tools/check-statics $(BUILD)/lib/*.a $(call objects,src/cli)
	tools/run-scripts tests/tools/*.sh

LINTED = $(patsubst %.c,$(BUILD)/lint/%,$(wildcard src/*/*.c))
.PHONY: lint
lint: $(LINTED) $(BUILD)/lint/cppcheck
$(BUILD)/lint/src/%: src/%.c $(wildcard include/*/*.h src/*/*.h) \
    tools/clang-tidy.yml | $(BUILD)/.gitignore
	@mkdir -p $(@D)
	@echo '  lint $<'
	@clang-tidy --quiet --config-file=tools/clang-tidy.yml $< \
	    -- $(CPPFLAGS) $(CFLAGS) 2>$@.talk || { cat $@.talk; exit 1; }
	@touch $@
# cppcheck does not see that *out = (struct x){...} sets a caller's variable;
# the compilers, clang-tidy and valgrind look for unset ones too.
$(BUILD)/lint/cppcheck: $(wildcard include/*/*.h src/*/*.[ch]) \
    | $(BUILD)/.gitignore
	@mkdir -p $(@D)
	@echo '  cppcheck src'
	@cppcheck --quiet --error-exitcode=1 --std=c11 -Iinclude -D_GNU_SOURCE \
	    --enable=warning,performance,portability \
	    --suppress=ctuuninitvar --suppress=uninitStructMember src
	@touch $@

# --- memory, undefined behaviour -------------------------------------------
# Criterion passes a test that only leaks: tools/watch-memory looks at the
# logs instead of the exit state.
ASAN = -fsanitize=address,undefined,float-cast-overflow \
       -fno-sanitize-recover=all
.PHONY: asan valgrind
asan:
	@$(MAKE) BUILD=$(BUILD)/asan OPT='-O1 -g -fno-omit-frame-pointer' \
	    SANITIZE='$(ASAN)' asan-run
valgrind:
	@$(MAKE) BUILD=$(BUILD)/gcc DEV=1 CC=gcc valgrind-run

.PHONY: asan-run valgrind-run
asan-run: $(UNITS) $(BUILD)/liftsplit
	@tools/watch-memory asan $(BUILD)/log tools/run-unit $(UNITS)
	@LIFTSPLIT=$(abspath $(BUILD)/liftsplit) tools/watch-memory asan \
	    $(BUILD)/log tools/run-scripts tests/cli/*.sh
# Slow, so a part: what every layer stands on, and the main road through all.
WATCHED = $(filter %/unit-base %/unit-fluid,$(UNITS))
valgrind-run: $(WATCHED) $(BUILD)/liftsplit
	@tools/watch-memory valgrind $(BUILD)/log tools/run-unit $(WATCHED)
	@for command in check curves morning; do \
	    echo "valgrind: liftsplit $$command scenarios/demo"; \
	    tools/watch-memory valgrind $(BUILD)/log $(BUILD)/liftsplit \
	        $$command scenarios/demo >/dev/null || exit 1; \
	done

# --- speed -----------------------------------------------------------------
BENCHES = $(patsubst tests/bench/bench_%.c,$(BUILD)/bench-%,\
                     $(wildcard tests/bench/bench_*.c))
$(BUILD)/bench-%: $(BUILD)/tests/bench/bench_%.o $(SUPPORT) \
    $(call upto,$(BELOW_plan))
	@echo '  link $@'
	@$(CC) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LDLIBS)
.PHONY: bench
.SECONDARY:
bench: $(BENCHES)
	@for bench in $^; do $$bench || exit 1; done
	@tools/count-instructions $(BUILD)/bench-well traverse curve
	@tools/count-instructions $(BUILD)/bench-plan plan

# --- the two commands of the README ----------------------------------------
JOBS = -j$(shell nproc)
.PHONY: demo check
demo:
	tools/setup build
	@$(MAKE) $(JOBS) all
	$(BUILD)/liftsplit morning scenarios/demo --out $(BUILD)/demo
	@echo 'The plan is in $(BUILD)/demo, as text, CSV and JSON.'
check:
	tools/setup check
	$(MAKE) fmt-check
	$(MAKE) $(JOBS) BUILD=$(BUILD)/gcc DEV=1 CC=gcc rules lint
	$(MAKE) $(JOBS) BUILD=$(BUILD)/gcc DEV=1 CC=gcc test
	$(MAKE) $(JOBS) BUILD=$(BUILD)/clang DEV=1 CC=clang test
	$(MAKE) $(JOBS) asan
	$(MAKE) $(JOBS) valgrind

# --- installing ------------------------------------------------------------
PREFIX ?= /usr/local
at = $(DESTDIR)$(PREFIX)
.PHONY: install clean
install: all
	install -D $(BUILD)/liftsplit $(at)/bin/liftsplit
	install -D -m 644 docs/liftsplit.1 $(at)/share/man/man1/liftsplit.1
	install -D -m 644 tools/completion/liftsplit.bash \
	    $(at)/share/bash-completion/completions/liftsplit
clean:
	rm -rf $(BUILD)

-include $(wildcard $(patsubst %,$(BUILD)/%/*.d,src/* tests/* tests/unit/*))
