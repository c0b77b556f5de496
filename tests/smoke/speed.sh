#!/usr/bin/env bash
# Quick speed figures; they are printed, never judged: the machine is shared.
set -euo pipefail
bin=$(realpath "$1")
time_it() { local start end; start=$(date +%s%N); "$@" >/dev/null; end=$(date +%s%N); echo $(((end - start) / 1000)); }
echo "gaps three-eighths: $(time_it "$bin" gaps three-eighths) us"
echo "whole round rehearsed: $(time_it "$bin" rehearse demo/whole-round.rehearse --size 80x24) us"
echo "tour of the demo workshop: $(time_it "$bin" rehearse demo/tour.rehearse --size 140x45) us"
