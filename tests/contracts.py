"""import-linter's contracts, with what a file reaches through a package's door counted as an import of it."""

from __future__ import annotations

from grimp import ImportGraph
from importlinter.contracts.acyclic_siblings import AcyclicSiblingsContract
from importlinter.contracts.forbidden import ForbiddenContract
from importlinter.contracts.layers import LayersContract
from importlinter.domain.contract import ContractCheck

from tests.doors import with_doors


class Layers(LayersContract):
    """Imports run one way."""

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        """Judge the graph with its doors."""
        return super().check(with_doors(graph), verbose)


class Forbidden(ForbiddenContract):
    """What a package may not import."""

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        """Judge the graph with its doors."""
        return super().check(with_doors(graph), verbose)


class Acyclic(AcyclicSiblingsContract):
    """No circles between the children of a package."""

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        """Judge the graph with its doors."""
        return super().check(with_doors(graph), verbose)
