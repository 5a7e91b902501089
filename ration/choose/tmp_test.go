package choose
import ("testing";"time")
func TestTmp(t *testing.T){
 for seed:=uint64(1);seed<=8;seed++{
  m:=fullModel(seed); a:=answer(t,m)
  for _,s:=range []string{"glpsol","cbc"}{
   st:=time.Now(); v,err:=solveWith(s,m,t.TempDir())
   t.Log(seed,s,time.Since(st),v,err)
  }
  t.Log(a.Values)
 }
}
