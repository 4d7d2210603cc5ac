import time, pytest
from axe_playwright_python.sync_playwright import Axe
pytestmark = pytest.mark.browser
def test_p(reader, filled):
    for path in ("/tickets/{ticket}/report/1/","/tickets/{ticket}/","/people/"):
        t=time.time(); reader.goto(filled.address(path)); print(path,"goto",time.time()-t)
        print("nodes", reader.evaluate("document.querySelectorAll('*').length"), reader.evaluate("document.querySelectorAll('svg *').length"))
        t=time.time(); reader.evaluate(Axe().axe_script); print("inject",time.time()-t)
        for opt in ({"runOnly":{"type":"rule","values":["color-contrast"]}}, {"runOnly":{"type":"tag","values":["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22aa"]}},{"runOnly":{"type":"tag","values":["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22aa"]},"rules":{"color-contrast":{"enabled":False}}}):
            o=dict(opt,resultTypes=["violations"])
            t=time.time(); reader.evaluate("o=>axe.run(document,o).then(r=>r.violations.length)",o); print("all",time.time()-t)
            t=time.time(); reader.evaluate("o=>axe.run({exclude:['svg']},o).then(r=>r.violations.length)",o); print("no svg",time.time()-t)
    assert 0
