package cli

import (
	"strconv"
	"strings"

	"chainpath/sim/sweep"
)

// shardOf reads --shard: I/N, or auto with the index of a job array from the
// environment; env is os.Getenv.
func shardOf(text string, env func(string) string) (sweep.Shard, error) {
	if text == "" {
		return sweep.Shard{}, nil
	}
	index, count, both := strings.Cut(text, "/")
	if index != "auto" {
		i, e1 := strconv.Atoi(index)
		n, e2 := strconv.Atoi(count)
		if !both || e1 != nil || e2 != nil || n < 1 || i < 0 || i >= n {
			return sweep.Shard{}, usagef("--shard %q, want I/N with I from 0 to N-1, auto or auto/N", text)
		}
		return sweep.Shard{I: i, N: n}, nil
	}
	i, n, ok := arrayIndex(env)
	if !ok {
		return sweep.Shard{}, usagef("--shard auto: no job array: none of SLURM_ARRAY_TASK_ID, JOB_COMPLETION_INDEX, PBS_ARRAY_INDEX, SGE_TASK_ID, LSB_JOBINDEX is set")
	}
	if both {
		k, err := strconv.Atoi(count)
		if err != nil || k < 1 {
			return sweep.Shard{}, usagef("--shard %q: want auto/N with N from 1 on", text)
		}
		n = k
	}
	if n < 1 {
		return sweep.Shard{}, usagef("--shard auto: the scheduler does not say how many there are, want auto/N")
	}
	if i < 0 || i >= n {
		return sweep.Shard{}, usagef("--shard %s: index %d of the job array is out of range, want 0 to %d (or from 1 on where the scheduler counts so)", text, i, n-1)
	}
	return sweep.Shard{I: i, N: n}, nil
}

// arrayIndex returns a job array's index, counted from 0, and its size where the
// scheduler tells it, else 0.
func arrayIndex(env func(string) string) (i, n int, ok bool) {
	number := func(name string, def int) int {
		if k, err := strconv.Atoi(env(name)); err == nil {
			return k
		}
		return def
	}
	set := func(name string) bool {
		_, err := strconv.Atoi(env(name))
		return err == nil
	}
	switch {
	case set("SLURM_ARRAY_TASK_ID"):
		step := max(number("SLURM_ARRAY_TASK_STEP", 1), 1)
		return (number("SLURM_ARRAY_TASK_ID", 0) - number("SLURM_ARRAY_TASK_MIN", 0)) / step, number("SLURM_ARRAY_TASK_COUNT", 0), true
	case set("JOB_COMPLETION_INDEX"):
		return number("JOB_COMPLETION_INDEX", 0), 0, true
	case set("PBS_ARRAY_INDEX"):
		return number("PBS_ARRAY_INDEX", 0), 0, true
	case set("SGE_TASK_ID"):
		step := max(number("SGE_TASK_STEPSIZE", 1), 1)
		first, last := number("SGE_TASK_FIRST", 1), number("SGE_TASK_LAST", 0)
		size := 0
		if last >= first {
			size = (last-first)/step + 1
		}
		return (number("SGE_TASK_ID", 1) - first) / step, size, true
	case set("LSB_JOBINDEX") && env("LSB_JOBINDEX") != "0":
		return number("LSB_JOBINDEX", 1) - 1, 0, true
	}
	return 0, 0, false
}
