"""What a run of the fuzzer is told by; `make fuzz` runs it."""

from fuzz.__main__ import WORDS, summary

OUTPUT = """\
#16\tINITED cov: 1894 ft: 4000 corp: 16/20kb exec/s: 0 rss: 60Mb
#100\tNEW    cov: 1975 ft: 4100 corp: 20/21kb
Done 3863 runs in 91 second(s)
stat::number_of_executed_units: 3863
stat::slowest_unit_time_sec:    2
stat::peak_rss_mb:              65
"""


def test_the_figures_are_those_of_the_run():
    assert summary(OUTPUT) == (
        "3,863 inputs in 91 s, 1975 branches covered (1894 by the files as they are), "
        "slowest 2 s, at most 65 MB"
    )
    assert summary("").startswith("0 inputs in ? s, ? branches covered")


def test_words_are_written_as_the_fuzzer_reads_them():
    for word in WORDS:
        assert all(32 <= ord(each) < 127 for each in word), word
        assert '"' not in word
