"""The words of every operation, of running and of pulling, found by operation."""

from app.domain.operations import Operation
from app.domain.wording import RULES, OperationRule
from app.domain.wording_pulling import PULLING_RULES

RULE_OF: dict[Operation, OperationRule] = {rule.operation: rule for rule in (*RULES, *PULLING_RULES)}
