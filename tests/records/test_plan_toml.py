"""Every mistake in a plan's text is reported with its place, and a good text comes back as typed."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.demo import demo_plan_text
from app.domain.problems import Problem, Severity
from app.records.plan_json import plan_to_json
from app.records.plan_toml import LONGEST_TEXT, MOST_DOTS, read_plan, write_plan_toml
from tests.plans import NAMES, plan_text

SINGLE = demo_plan_text("single")
DUAL = demo_plan_text("dual")


def problems_after(*changes: tuple[str, str], text: str = SINGLE) -> tuple[Problem, ...]:
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    plan, problems = read_plan(text)
    assert plan is None
    assert all(problem.severity is Severity.STOP for problem in problems)
    return problems


def the_problem_after(*changes: tuple[str, str], text: str = SINGLE) -> Problem:
    problems = problems_after(*changes, text=text)
    assert len(problems) == 1, problems
    return problems[0]


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_written_as_toml_comes_back_with_each_value_as_typed(name: str) -> None:
    plan, _ = read_plan(plan_text(name))
    assert plan is not None

    again, problems = read_plan(write_plan_toml(plan))

    assert problems == ()
    assert again == plan
    assert plan_to_json(again) == plan_to_json(plan)


def test_a_clamp_is_written_with_its_end_or_with_how_far_it_sits_below_the_top() -> None:
    at_base = '{ at = "MTR-1", end = "base", type = "bypass clamp" }'
    plan, problems = read_plan(
        SINGLE.replace(at_base, at_base.replace('end = "base"', 'below_top = "2.5 ft"'))
    )

    assert problems == ()
    assert plan is not None
    clamp = plan.systems[0].clamps[0]
    assert (clamp.station, clamp.end) == ("MTR-1 2.5 ft below top", None)
    assert '{ at = "MTR-1", type = "bypass clamp", below_top = "2.5 ft" }' in write_plan_toml(plan)


def test_writing_a_plan_that_was_written_changes_nothing() -> None:
    plan, _ = read_plan(DUAL)
    assert plan is not None
    written = write_plan_toml(plan)

    again, _ = read_plan(written)

    assert again is not None
    assert write_plan_toml(again) == written


def test_quotes_backslashes_and_line_breaks_in_text_come_back() -> None:
    plan, _ = read_plan(SINGLE)
    assert plan is not None
    title = 'A "title" of\ntwo lines, 100 % \\ Ø 9 5/8″'
    renamed = replace(plan, job=replace(plan.job, title=title))

    again, problems = read_plan(write_plan_toml(renamed))

    assert problems == ()
    assert again == renamed


def test_a_plan_saved_with_a_byte_order_mark_reads() -> None:
    as_bytes = read_plan(SINGLE.encode("utf-8-sig"))
    as_text = read_plan("\ufeff" + SINGLE)

    assert as_bytes == as_text == read_plan(SINGLE)


def test_a_day_may_be_written_with_or_without_quotes() -> None:
    plan, problems = read_plan(SINGLE.replace("due = 2090-06-30", 'due = "2090-06-30"', 1))

    assert problems == ()
    assert plan == read_plan(SINGLE)[0]


def test_empty_text_for_what_may_be_left_out_is_as_if_it_were_left_out() -> None:
    text = SINGLE.replace('serial = "TL-MTR-0011"', 'serial = ""', 1)

    plan, problems = read_plan(text)

    assert problems == ()
    assert plan is not None
    assert plan.systems[0].parts[1].serial == ""


UNREADABLE = (
    ('title = "Demonstration', "title = Demonstration", "in quotes"),
    ('low = "450 ft*lbf"', "low = 450 ft*lbf", "in quotes"),
    ('low = "450 ft*lbf"', 'low "450 ft*lbf"', "equals sign"),
    ('low = "450 ft*lbf"', 'low = "450 ft*lbf', "quote is not closed"),
    ('low = "450 ft*lbf"', 'low = "450 ft*lbf"\nlow = "460 ft*lbf"', "stands twice"),
    ("due = 2090-06-30", "due = 2090-02-30", "year-month-day"),
    ("[limits]", "[limits", "[name]"),
    ("[limits]", "[job]\n[limits]", "opened twice"),
    ('low = "450 ft*lbf"', 'low = "450 ft\\*lbf"', "backslash"),
    ('"supervisor", "driller"', '"supervisor" "driller"', "comma"),
    ("]\n\nlifting_gear", "\n\nlifting_gear", "closed with ]"),
)


@pytest.mark.parametrize(("old", "new", "advice"), UNREADABLE)
def test_text_that_is_no_toml_is_refused_with_line_column_and_advice(old: str, new: str, advice: str) -> None:
    problem = the_problem_after((old, new))

    assert problem.rule == "plan-unreadable"
    assert problem.where.startswith("line ")
    assert ", column " in problem.where
    assert advice in problem.text


def test_the_line_that_is_named_is_the_line_of_the_mistake() -> None:
    line = SINGLE[: SINGLE.index('low = "450 ft*lbf"')].count("\n") + 1

    problem = the_problem_after(('low = "450 ft*lbf"', "low = 450 ft*lbf"))

    assert problem.where.startswith(f"line {line}, ")


def test_text_that_ends_too_early_is_refused_at_its_end() -> None:
    _, problems = read_plan('title = """never closed')

    assert [problem.where for problem in problems] == ["end of the text"]


def test_bytes_that_are_not_utf_8_are_refused_with_their_line() -> None:
    _, problems = read_plan(b'format = "twinleg-plan-1"\ntitle = "\xff\xfe"\n')

    assert [(problem.rule, problem.where) for problem in problems] == [("plan-unreadable", "line 2")]
    assert "UTF-8" in problems[0].text


def test_a_nul_is_refused_with_its_line() -> None:
    _, problems = read_plan('format = "twinleg-plan-1"\n\0')

    assert problems[0].where == "line 2"
    assert "NUL" in problems[0].text


def test_what_the_parser_names_by_a_message_of_its_own_gets_general_advice() -> None:
    _, problems = read_plan("crew = [\n1\n]\nsurvey = 0x" + "é")

    assert [problem.rule for problem in problems] == ["plan-unreadable"]
    assert problems[0].where == "line 4, column 11"


def test_a_number_of_more_digits_than_python_reads_is_refused() -> None:
    _, problems = read_plan("crew = " + "9" * 9000)

    assert [(problem.rule, problem.where) for problem in problems] == [("plan-unreadable", "plan")]


def test_brackets_nested_beyond_any_plan_are_refused() -> None:
    _, problems = read_plan("crew = " + "[" * 4000 + "]" * 4000)

    assert "too deep" in problems[0].text


def test_a_text_larger_than_any_plan_is_refused_unparsed() -> None:
    _, problems = read_plan("# remark\n" * (LONGEST_TEXT // 9 + 1))

    assert f"{LONGEST_TEXT} characters" in problems[0].text


def test_a_key_of_many_dots_is_refused_unparsed() -> None:
    _, problems = read_plan("a." * (MOST_DOTS + 1) + "a = 1")

    assert problems[0].where == "line 1"
    assert "break it" in problems[0].text


def test_a_negative_length_is_refused() -> None:
    problem = the_problem_after(('length = "16.20 ft"', 'length = "-16.20 ft"'))

    assert problem.rule == "negative"
    assert problem.where == 'systems[0] "pump" . parts[1] "MTR-1" . length'
    assert problem.text == "'-16.20 ft': a length cannot be negative; take the sign away."


def test_a_mass_is_refused_where_a_torque_is_wanted() -> None:
    problem = the_problem_after(('target = "500 ft*lbf"', 'target = "1000 lb"'))

    assert problem.where == 'connection_types[0] "2-7/8 flush" . target'
    assert problem.text == "'1000 lb' is a mass; a torque is wanted here, in N*m, kN*m, ft*lbf or in*lbf."


def test_a_unit_that_nobody_knows_is_refused_with_those_that_are_known() -> None:
    problem = the_problem_after(('setting_depth = "303 ft"', 'setting_depth = "50 fathoms"'))

    assert problem.where == "well . setting_depth"
    assert "'fathoms' is not known" in problem.text
    assert "m, cm, mm, ft or in" in problem.text


def test_a_number_without_a_unit_is_refused_with_an_example() -> None:
    problem = the_problem_after(('length = "16.20 ft"', "length = 16.20"))

    assert problem.rule == "missing-unit"
    assert problem.text == '16.2 has no unit; write it in quotes with a unit, like "12.5 m".'


def test_a_temperature_may_be_below_zero_but_not_below_absolute_zero() -> None:
    plan, _ = read_plan(SINGLE.replace('"60 degF"', '"-5 degC"', 1))
    problem = the_problem_after(('"60 degF"', '"-500 degC"'))

    assert plan is not None
    assert "absolute zero" in problem.text


def test_an_unknown_key_is_refused_with_the_nearest_known_one_and_the_list() -> None:
    problem = the_problem_after(('dope = "metal-free', 'dop = "metal-free'))

    assert problem.rule == "unknown-key"
    assert problem.where == 'connection_types[0] "2-7/8 flush" . dop'
    assert 'Did you mean "dope"?' in problem.text
    assert "name, method, target, low, high, dope, bolts, source" in problem.text


def test_a_missing_key_is_refused_with_how_it_is_written() -> None:
    problem = the_problem_after(('max_od = "5.40 in"\n', ""))

    assert problem.rule == "missing-key"
    assert problem.where == 'systems[0] "pump" . parts[1] "MTR-1" . max_od'
    assert problem.text == '"max_od" is missing; add it, written like "12.5 m".'


def test_an_unknown_word_is_refused_with_the_words_that_are_known() -> None:
    problem = the_problem_after(('method = "tong"', 'method = "tongs"'))

    assert problem.rule == "unknown-word"
    assert problem.where == 'connection_types[1] "2-7/8 EU J55" . method'
    assert 'Did you mean "tong"? Write "hand and wrench", "tong" or "bolts".' in problem.text


@pytest.mark.parametrize("day", ['"30.06.2090"', "2090-06-30T10:00:00", "20900630", '"tomorrow"', "true"])
def test_a_due_day_that_is_no_day_is_refused(day: str) -> None:
    problem = the_problem_after(("due = 2090-06-30", f"due = {day}"))

    assert problem.rule == "bad-date"
    assert problem.where == 'tools[0] "T-WRENCH" . due'
    assert "2090-06-30" in problem.text


WRONG_TYPES = (
    ("bolts = 8", 'bolts = "8"', "a whole number without quotes, like 4, is wanted"),
    ("bolts = 8", "bolts = true", "a whole number without quotes, like 4, is wanted"),
    ("bolts = 8", "bolts = -8", "cannot be negative"),
    ("bolts = 8", "bolts = 0x" + "F" * 6000, "check the number"),
    ("made_up_on_deck = true", 'made_up_on_deck = "true"', "true or false, without quotes, is wanted"),
    ('number = "DEMO-1"', "number = 1", "text in quotes"),
    ('number = "DEMO-1"', 'number = "  "', "Nothing stands between the quotes"),
    ('number = "DEMO-1"', 'number = "a\\u0007b"', "does not print"),
    ('method = "tong"', "method = 2", '"hand and wrench", "tong" or "bolts"'),
    ('length = "16.20 ft"', 'length = ["16.20 ft"]', "A list stands where a number in quotes"),
    ('length = "16.20 ft"', f'length = "{"9" * 70} ft"', "too long"),
    ('length = "16.20 ft"', f'length = "{"9" * 40}/1 ft"', "larger than anything"),
    ('length = "16.20 ft"', 'length = "1/0 ft"', "write digits"),
    (
        "survey = [\n",
        "survey = [\n    7,\n",
        "7 stands where a table with depth, inclination, azimuth is wanted",
    ),
)


@pytest.mark.parametrize(("old", "new", "advice"), WRONG_TYPES)
def test_a_value_of_the_wrong_type_is_refused_with_what_is_wanted(old: str, new: str, advice: str) -> None:
    problem = the_problem_after((old, new))

    assert advice in problem.text


def test_a_list_where_one_table_stands_is_refused() -> None:
    problem = the_problem_after(("[rig]", "[[rig]]"))

    assert problem.where == "rig"
    assert problem.text.startswith(
        "A list stands where a table with name, working_height, reach, travelling_weight is wanted"
    )


def test_a_table_where_a_list_stands_is_refused() -> None:
    problem = the_problem_after(("[[spares]]", "[spares]"))

    assert problem.where == "spares"
    assert problem.text.startswith("A table stands where a list [ ] of tables is wanted")


def test_another_format_is_refused_with_the_one_that_is_read() -> None:
    problem = the_problem_after(('"twinleg-plan-1"', '"twinleg-plan-9"'))

    assert (problem.rule, problem.where) == ("plan-format", "format")
    assert '"twinleg-plan-1"' in problem.text


def test_an_empty_text_lacks_everything_that_a_plan_needs() -> None:
    plan, problems = read_plan("")

    assert plan is None
    assert {problem.rule for problem in problems} == {"missing-key"}
    assert {"format", "job", "well", "systems", "production"} <= {problem.where for problem in problems}


def test_ten_mistakes_are_reported_at_once_each_with_its_place() -> None:
    problems = problems_after(
        ('"twinleg-plan-1"', '"twinleg-plan-9"'),
        ('operator = "Nobody Energy (invented)"\n', ""),
        ('reach = "27.0 m"', 'reach = "27.0"'),
        ('drift = "8.525 in"', 'drift = "-8.525 in"'),
        ('method = "tong"', 'method = "tnog"'),
        ('target = "500 ft*lbf"', 'target = "1000 lb"'),
        ("due = 2090-06-30", 'due = "soon"'),
        ('weight = "570 lb"', "weight = 570"),
        ("splice_after = 1", 'splice_after = "one"'),
        ('tag = "P-003", length', 'tag = "P-003", lenght'),
        text=DUAL.replace('"860 lb"', '"570 lb"', 1),
    )

    assert sorted(problem.where for problem in problems) == sorted(
        (
            "format",
            "job . operator",
            "rig . reach",
            'well . casing[0] "9-5/8 in casing" . drift',
            'connection_types[1] "3-1/2 EU J55" . method',
            'connection_types[0] "2-7/8 flush" . target',
            'tools[0] "T-WRENCH" . due',
            'systems[0] "lower" . parts[5] "PMP-L1" . weight',
            'systems[1] "upper" . motor_lead . main_cable . splice_after',
            'production . tubing . joints[2] "P-003" . lenght',
            'production . tubing . joints[2] "P-003" . length',
        )
    )


def test_past_five_hundred_mistakes_the_rest_is_counted() -> None:
    text = "".join(f"key_{number} = 1\n" for number in range(2000)) + SINGLE

    _, problems = read_plan(text)

    assert len(problems) == 501
    assert problems[-1].text == "1500 more mistakes are not listed; mend these first."


LINES = SINGLE.splitlines()
VALUES = st.one_of(
    st.integers().map(str),
    st.floats().map(str),
    st.text(max_size=20).map(lambda text: f'"{text}"'),
    st.sampled_from(
        ["[]", "{}", "[[]]", "true", "nan", "-inf", "1979-05-27", "07:32:00", "{ a = 1 }", "[1, 'x', {}]"]
    ),
    st.from_regex(r'"-?[0-9]{1,40}(\.[0-9]*)?(/[0-9]{1,3})? ?(ft|in|lb|lbf|degC|%|ft\*lbf)"', fullmatch=True),
    st.integers(min_value=1, max_value=300).map(lambda depth: "[" * depth + "]" * depth),
)


@given(line=st.integers(min_value=0, max_value=len(LINES) - 1), value=VALUES)
def test_no_value_in_any_place_of_a_plan_makes_reading_fail(line: int, value: str) -> None:
    key = LINES[line].split("=")[0]

    plan, problems = read_plan("\n".join((*LINES[:line], f"{key}= {value}", *LINES[line + 1 :])))

    assert (plan is None) == bool(problems)
    assert all(problem.where and problem.text.endswith((".", "?")) for problem in problems)


@given(start=st.integers(0, len(SINGLE)), size=st.integers(0, 400), put=st.text(max_size=12))
def test_no_cut_or_insertion_in_a_plan_makes_reading_fail(start: int, size: int, put: str) -> None:
    plan, problems = read_plan(SINGLE[:start] + put + SINGLE[start + size :])

    assert (plan is None) == bool(problems)


@given(st.text(alphabet=st.sampled_from(list("ab.=[]{}\"'#,\n\\u01-9T: \0\t\ud800é")), max_size=200))
def test_no_text_makes_reading_fail(text: str) -> None:
    plan, problems = read_plan(text)

    assert plan is None
    assert problems


@settings(max_examples=50)
@given(st.binary(max_size=200))
def test_no_bytes_make_reading_fail(data: bytes) -> None:
    plan, problems = read_plan(data)

    assert plan is None
    assert problems
