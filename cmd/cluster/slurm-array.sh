#!/bin/bash
# A sweep as a job array:  sbatch --array=0-7 slurm-array.sh CASE PLAN [OPTION...]
# Each task writes part-INDEX.csv into the folder the job was sent from.
#SBATCH --job-name=chainpath-sweep
#SBATCH --ntasks=1
#SBATCH --cpus-per-task=1
#SBATCH --requeue
#SBATCH --open-mode=append
set -euo pipefail
case=${1:?CASE is missing} plan=${2:?PLAN is missing}
shift 2
exec "${CHAINPATH:-chainpath}" sweep "$case" --plan "$plan" --shard auto --resume \
  --workers "${SLURM_CPUS_PER_TASK:-1}" --out "part-$SLURM_ARRAY_TASK_ID.csv" "$@"
